// Package key names the things of a drawing and what is drawn of them, the same from one run of the program to the
// next. Keys stand in drawings out there: what is written here is read for good.
//
//	thing    2F            a line, terminal or unit of the sketch, by its handle
//	         A1.2F         in a block, with the handles of the inserts around it
//	         @1200_300_0   by its place in millimetres, in a drawing without handles
//	         2F+2          the second of things that share one, as the copies of an insert in rows do
//	run      2F@4500       what begins 4500 mm along the line 2F
//	         2F@4500/riser a riser at that place
//	         2F/drop       the vertical run to the terminal 2F
//	node     2F@4500n      a place on a line; a terminal has its own key, a unit 2F:SUP
//	drawn    2F@0/size/1   the subject, the role, which of several, and what of that: 2F@0/size/1/leader/2
//	         N/R/body      at a node N, of the run R there
//	         check/…       a finding; cloud/… a revision cloud
package key

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Key is one name.
type Key string

const (
	alongMark = "@" // between a line and how far along it, and before a place
	nodeMark  = "n"
	portMark  = ":"
	split     = "/"

	riserRole = "riser"
	dropRole  = "drop"
	check     = "check" + split
	cloud     = "cloud" + split
)

// Placed names a thing without a handle by places of it in millimetres.
func Placed(mm ...int64) Key {
	words := make([]string, len(mm))
	for i, v := range mm {
		words[i] = strconv.FormatInt(v, 10)
	}
	return Key(alongMark + strings.Join(words, "_"))
}

// Handled names a thing by its handle, after those of the inserts around it.
func Handled(path []string, handle string) Key {
	return Key(strings.Join(append(path[:len(path):len(path)], handle), "."))
}

// Copy names the nth of things that share k.
func (k Key) Copy(n int) Key { return Key(fmt.Sprintf("%s+%d", k, n)) }

// RunAt names the run that begins so many metres along the line k.
func (k Key) RunAt(metres float64) Key {
	return k + alongMark + Key(strconv.FormatInt(int64(math.Round(metres*1000)), 10))
}

// NodeAt names the node there. It differs from that of the run which begins there.
func (k Key) NodeAt(metres float64) Key { return k.RunAt(metres) + nodeMark }

// Riser names the riser at the place the run k begins.
func (k Key) Riser() Key { return k + split + riserRole }

// Drop names the vertical run to the terminal k.
func (k Key) Drop() Key { return k + split + dropRole }

// Port names the node of the unit k for one kind of air, a new one or one that is removed.
func (k Key) Port(air string, removed bool) Key {
	k += portMark + Key(air)
	if removed {
		k += portMark + "removed"
	}
	return k
}

// At names the run at the node k, for what is drawn of a run at one of its nodes.
func (k Key) At(run Key) Key { return k + split + run }

// Part names what is drawn of k in a role, and which of several it is, counted from 1; or what of something drawn it
// is.
func (k Key) Part(role string, index ...int) Key {
	k += split + Key(role)
	for _, i := range index {
		k = k.Nth(i)
	}
	return k
}

// Nth names the nth of several pieces that k is drawn as.
func (k Key) Nth(n int) Key { return k + split + Key(strconv.Itoa(n)) }

// Finding names one piece of the mark of a finding: the nth of its code at an entity.
func Finding(code, handle string, n, piece int) Key {
	return Key(fmt.Sprintf("%s%s/%s/%d/%d", check, code, handle, n, piece))
}

// Cloud names the revision cloud around k.
func Cloud(k Key) Key { return cloud + k }

// IsFinding reports whether k is of the mark of a finding.
func (k Key) IsFinding() bool { return strings.HasPrefix(string(k), check) }

// IsCloud reports whether k is of a revision cloud.
func (k Key) IsCloud() bool { return strings.HasPrefix(string(k), cloud) }

// Parent returns what k is a part of, in the end its subject and the terminal of a drop; "" where k is of nothing else.
func (k Key) Parent() Key { return k[:max(0, strings.LastIndex(string(k), split))] }

// Line returns the key of the line a run or a node on one lies on; of a drop, that of its terminal.
func (k Key) Line() Key {
	thing, _, _ := strings.Cut(string(k), split)
	if i := strings.LastIndex(thing, alongMark); i > 0 {
		thing = thing[:i]
	}
	return Key(thing)
}

// Parts are what a key of something drawn says.
type Parts struct {
	Subject Key    // a run, node, terminal or unit; at a node, of a run there, node and run
	Role    string // what is drawn of it: size, wall, elbow; "" where k is a subject itself
	Index   int    // which of several, from 1; 0 where there is one
	Rest    string // what of that: leader/2
}

// Read takes k apart. Of findings and clouds it returns their keys as a subject.
func (k Key) Read() Parts {
	if k.IsFinding() || k.IsCloud() {
		return Parts{Subject: k}
	}
	words := strings.Split(string(k), split)
	n := max(1, runAt(words))
	if n < len(words) {
		n += runAt(words[n:])
	}
	p := Parts{Subject: Key(strings.Join(words[:n], split))}
	words = words[n:]
	if len(words) == 0 {
		return p
	}
	p.Role, words = words[0], words[1:]
	if len(words) > 0 {
		if i, err := strconv.Atoi(words[0]); err == nil {
			p.Index, words = i, words[1:]
		}
	}
	p.Rest = strings.Join(words, split)
	return p
}

// runAt returns how many of words are a run they begin with, 0 if they begin with none.
func runAt(words []string) int {
	along := strings.LastIndex(words[0], alongMark) > 0
	second := ""
	if len(words) > 1 {
		second = words[1]
	}
	switch {
	case along && second == riserRole, !along && second == dropRole:
		return 2
	case along:
		return 1
	}
	return 0
}

// Subject returns what k is of.
func (k Key) Subject() Key { return k.Read().Subject }

// Compare orders keys and handles: shorter ones are older.
func Compare[K ~string](a, b K) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) }
