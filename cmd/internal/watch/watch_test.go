package watch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// desk is a folder in memory and what the watch did with it.
type desk struct {
	files map[string]string
	log   []string
}

// watcher draws what begins with "good", cannot draw anything else, and needs "a" but not "b".
func (d *desk) watcher() *Watch {
	return &Watch{
		Names: []string{"a", "b"},
		Tries: 3,
		Read: func(name string) ([]byte, error) {
			text, ok := d.files[name]
			switch {
			case ok:
				return []byte(text), nil
			case name == "b":
				return nil, nil
			}
			return nil, errors.New("no " + name)
		},
		Work: func(contents [][]byte) error {
			text := string(contents[0]) + "+" + string(contents[1])
			if !strings.HasPrefix(text, "good") {
				return errors.New("half: " + text)
			}
			d.log = append(d.log, text)
			return nil
		},
		Report: func(err error) { d.log = append(d.log, "reported: "+err.Error()) },
	}
}

func TestLook(t *testing.T) {
	// Each step saves files ("-" removes one) and looks once.
	type step struct {
		a, b  string
		again bool
		log   string // what was logged by this step
	}
	for name, steps := range map[string][]step{
		"draws once, and again after a change": {
			{a: "good 1", log: "good 1+"}, {}, {a: "good 1"}, {a: "good 2", log: "good 2+"},
			{a: "good 1", log: "good 1+"}},
		"settings count, their absence too": {
			{a: "good", log: "good+"}, {b: "s", log: "good+s"}, {b: "-", log: "good+"}, {}},
		"half a file is tried again in silence": {
			{a: "good 1", log: "good 1+"}, {a: "goo", again: true}, {again: true}, {a: "good 2", log: "good 2+"}},
		"a file away for a moment": {
			{a: "good 1", log: "good 1+"}, {a: "-", again: true}, {a: "good 1"}, {a: "-", again: true}, {again: true},
			{a: "good 2", log: "good 2+"}},
		"what stays bad is reported once": {
			{a: "bad", again: true}, {again: true}, {log: "reported: half: bad+"}, {}, {}, {a: "good", log: "good+"}},
		"other bad contents are reported again": {
			{a: "bad", again: true}, {again: true}, {log: "reported: half: bad+"}, {a: "worse", again: true}, {again: true},
			{log: "reported: half: worse+"}},
		"a lost file is reported once": {
			{a: "-", again: true}, {again: true}, {log: "reported: no a"}, {again: true}, {again: true}, {},
			{a: "good", log: "good+"}},
	} {
		t.Run(name, func(t *testing.T) {
			d := &desk{files: map[string]string{}}
			w := d.watcher()
			for i, s := range steps {
				for file, text := range map[string]string{"a": s.a, "b": s.b} {
					switch text {
					case "":
					case "-":
						delete(d.files, file)
					default:
						d.files[file] = text
					}
				}
				d.log = nil
				require.Equal(t, s.again, w.Look(), "step %d", i+1)
				require.Equal(t, s.log, strings.Join(d.log, ", "), "step %d", i+1)
			}
		})
	}
}

// TestLoop saves real files in the ways programs do: in place, in two goes, by renaming.
func TestLoop(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a.dxf")
	save := func(file, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644))
	}
	save("a.dxf", "1")
	var mu sync.Mutex
	var drawn []string
	last := func() string {
		mu.Lock()
		defer mu.Unlock()
		return strings.Join(drawn, " ")
	}
	w := &Watch{
		Names: []string{name}, Tries: 50, Read: os.ReadFile,
		Work: func(contents [][]byte) error {
			if text := string(contents[0]); text == "" || strings.HasSuffix(text, "half") {
				return errors.New("half")
			}
			mu.Lock()
			defer mu.Unlock()
			drawn = append(drawn, string(contents[0]))
			// beside it: no save of the sketch
			return os.WriteFile(filepath.Join(dir, "a-ducts.dxf"), contents[0], 0o644)
		},
		Report: func(err error) { t.Errorf("reported: %v", err) },
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	pace := Pace{Settle: 20 * time.Millisecond, Retry: 20 * time.Millisecond, Poll: time.Hour}
	go func() { ended <- w.Loop(ctx, pace) }()
	soon := func(want string) {
		t.Helper()
		require.Eventually(t, func() bool { return last() == want }, 10*time.Second, 5*time.Millisecond,
			"drawn: %s, want %s", last(), want)
	}
	soon("1")
	save("a.dxf", "2")
	soon("1 2")
	save("a.dxf", "3 half")
	save("other.dxf", "x")
	time.Sleep(100 * time.Millisecond)
	save("a.dxf", "3")
	soon("1 2 3")
	save("a.tmp", "4")
	require.NoError(t, os.Rename(filepath.Join(dir, "a.tmp"), name))
	soon("1 2 3 4")
	save("a.dxf", "4") // saved without a change
	time.Sleep(150 * time.Millisecond)
	require.Equal(t, "1 2 3 4", last())
	cancel()
	require.NoError(t, <-ended)
}

// TestLoopPolls finds saves by looking, where the folder reports nothing.
func TestLoopPolls(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "late", "a.dxf") // the folder is not there yet, so it cannot be watched
	drawn := make(chan string, 10)
	w := &Watch{
		Names: []string{name}, Tries: 1 << 30, Read: os.ReadFile,
		Work:   func(contents [][]byte) error { drawn <- string(contents[0]); return nil },
		Report: func(error) {},
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() {
		ended <- w.Loop(ctx, Pace{Settle: time.Millisecond, Retry: 10 * time.Millisecond, Poll: 20 * time.Millisecond})
	}()
	time.Sleep(50 * time.Millisecond)
	require.NoError(t, os.Mkdir(filepath.Dir(name), 0o755))
	for _, text := range []string{"1", "22"} {
		require.NoError(t, os.WriteFile(name+".tmp", []byte(text), 0o644))
		require.NoError(t, os.Rename(name+".tmp", name))
		select {
		case got := <-drawn:
			require.Equal(t, text, got)
		case <-time.After(10 * time.Second):
			t.Fatalf("%q was not drawn", text)
		}
	}
	cancel()
	require.NoError(t, <-ended)
}
