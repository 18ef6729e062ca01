package watch

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// Pace is how patient a Loop is.
type Pace struct {
	Settle time.Duration // after a save: programs write in several goes
	Retry  time.Duration // before another look at what was half a file
	Poll   time.Duration // between looks at size and time, for folders that report nothing, as on some network drives
}

// DefaultPace suits files that people save.
var DefaultPace = Pace{Settle: 250 * time.Millisecond, Retry: 400 * time.Millisecond, Poll: 3 * time.Second}

// Loop looks once, and again after each save of one of the files, until ctx is done. It watches
// folders, not files, since many programs save by writing another file and renaming it.
func (w *Watch) Loop(ctx context.Context, pace Pace) error {
	events, err := fsnotify.NewWatcher()
	if err != nil {
		return fmt.Errorf("the folder cannot be watched: %w", err)
	}
	defer events.Close()
	var names []string
	for _, name := range w.Names {
		full, err := filepath.Abs(name)
		if err != nil {
			return err
		}
		names = append(names, full)
		// A folder that cannot be watched is polled.
		_ = events.Add(filepath.Dir(full))
	}
	look := time.NewTimer(0)
	defer look.Stop()
	poll := time.NewTicker(pace.Poll)
	defer poll.Stop()
	state := ""
	for {
		select {
		case <-ctx.Done():
			return nil
		case e, ok := <-events.Events:
			if ok && slices.Contains(names, filepath.Clean(e.Name)) && e.Op != fsnotify.Chmod {
				look.Reset(pace.Settle)
			}
		case <-events.Errors: // such as more events than fit: look whether something was missed
			look.Reset(pace.Settle)
		case <-poll.C:
			if now := signature(names); now != state {
				state = now
				look.Reset(pace.Settle)
			}
		case <-look.C:
			state = signature(names)
			if w.Look() {
				look.Reset(pace.Retry)
			}
		}
	}
}

// signature holds size and time of files.
func signature(names []string) string {
	var b strings.Builder
	for _, name := range names {
		if info, err := os.Stat(name); err == nil {
			fmt.Fprintf(&b, "%d %d;", info.Size(), info.ModTime().UnixNano())
		} else {
			b.WriteString("-;")
		}
	}
	return b.String()
}
