// Package watch does a piece of work again each time one of its files is saved. Watch decides
// whether there is something to do and knows neither clock nor folder; Loop waits for saves.
package watch

import (
	"crypto/sha256"
	"encoding/binary"
)

// Watch is work that depends on the contents of files.
type Watch struct {
	Names []string
	// Read returns the content of a file. A file that need not be there is nil and no error.
	Read func(name string) ([]byte, error)
	// Work does the work for the contents of Names, in their order. An error says that it could
	// not be done with what there is, which may be half a file.
	Work func(contents [][]byte) error
	// Report is given the error that stays after all tries, once.
	Report func(error)
	// Tries is how often a failure is tried again before it is reported.
	Tries int

	done     [sha256.Size]byte // of the contents last worked on, or reported to be bad
	begun    bool
	failed   int
	reported string
}

// Look does the work if the files hold something else than the last time. again asks for
// another look in a moment: a program that is still writing leaves half a file, or none for a
// while, and there is no need to report it.
func (w *Watch) Look() (again bool) {
	contents := make([][]byte, len(w.Names))
	for i, name := range w.Names {
		var err error
		if contents[i], err = w.Read(name); err != nil {
			return w.fail(err, nil)
		}
	}
	sum := hash(contents)
	if w.begun && sum == w.done {
		w.failed = 0
		return false
	}
	if err := w.Work(contents); err != nil {
		return w.fail(err, &sum)
	}
	w.done, w.begun, w.failed, w.reported = sum, true, 0, ""
	return false
}

// fail counts a failure. After the last try it is reported, and contents that could be read are
// not tried again before they change.
func (w *Watch) fail(err error, sum *[sha256.Size]byte) (again bool) {
	if w.failed++; w.failed < w.Tries {
		return true
	}
	w.failed = 0
	if sum != nil {
		w.done, w.begun = *sum, true
	}
	if text := err.Error(); text != w.reported || sum != nil {
		w.reported = text
		w.Report(err)
	}
	return false
}

// hash distinguishes contents, a file that is not there from an empty one too.
func hash(contents [][]byte) (sum [sha256.Size]byte) {
	h := sha256.New()
	for _, c := range contents {
		size := int64(len(c))
		if c == nil {
			size = -1
		}
		_ = binary.Write(h, binary.LittleEndian, size) // a hash takes everything
		h.Write(c)
	}
	h.Sum(sum[:0])
	return sum
}
