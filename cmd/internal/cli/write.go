package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"
)

// errInterrupted ends a command that was stopped while it wrote a file.
var errInterrupted = &statusError{statusInterrupted, errors.New("interrupted; nothing was written")}

// writeStep is how much is written between two looks at whether somebody wants to stop.
const writeStep = 1 << 20

// writeWhole writes a file so that it appears whole or not at all: written beside, put on
// disk, then renamed. An existing file keeps its permissions, a link keeps leading to it. Whoever stops the
// program meanwhile leaves nothing behind.
func writeWhole(name string, data []byte) error {
	where, mode, err := destination(name)
	if err != nil {
		return err
	}
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(stop)
	tmp, err := os.CreateTemp(filepath.Dir(where), ".twinline-*")
	if err != nil {
		return fmt.Errorf("nothing was written: %w", plain(filepath.Dir(name), err))
	}
	err = fill(tmp, data, mode, stop)
	if e := tmp.Close(); err == nil {
		err = e
	}
	if err == nil && len(stop) > 0 {
		err = errInterrupted
	}
	if err == nil {
		err = os.Rename(tmp.Name(), where)
	}
	if err == nil {
		return nil
	}
	_ = os.Remove(tmp.Name()) // the error that counts is the first
	if errors.Is(err, errInterrupted) {
		return err
	}
	return fmt.Errorf("nothing was written: %w", plain(name, err))
}

// destination returns the file a name leads to and the permissions it is to have. It refuses what is there and is no
// file, or may not be written.
func destination(name string) (where string, mode fs.FileMode, err error) {
	if where, err = filepath.EvalSymlinks(name); err != nil {
		where = name // not there yet
	}
	info, err := os.Stat(where)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if link, err := os.Readlink(name); err == nil {
			return "", 0, fmt.Errorf("%s is a link to %s, which is not there; nothing was written", name, link)
		}
		return where, 0o644, nil
	case err != nil:
		return "", 0, fmt.Errorf("nothing was written: %w", plain(name, err))
	case info.IsDir():
		return "", 0, fmt.Errorf("%s is a folder; name a file", name)
	case !info.Mode().IsRegular():
		return "", 0, fmt.Errorf("%s is a device or a pipe; name a file", name)
	case info.Mode()&0o200 == 0:
		return "", 0, fmt.Errorf("%s is write-protected; nothing was written", name)
	}
	return where, info.Mode().Perm(), nil
}

// fill writes data to a new file and sees them on the disk.
func fill(tmp *os.File, data []byte, mode fs.FileMode, stop <-chan os.Signal) error {
	for len(data) > 0 {
		select {
		case <-stop:
			return errInterrupted
		default:
		}
		n, err := tmp.Write(data[:min(writeStep, len(data))])
		if err != nil {
			return err
		}
		data = data[n:]
	}
	if err := tmp.Chmod(mode); err != nil {
		return err
	}
	return tmp.Sync()
}

// replaceFile puts data in the place of a drawing, of which was are the bytes that were drawn into, and keeps the
// earlier file as .bak. A drawing that somebody saved meanwhile is left alone. Where nothing changes a .bak that is
// there stays: it is the last one that differs.
func replaceFile(name string, was, data []byte) error {
	switch same, err := holds(name, was); {
	case err != nil:
		return err
	case !same:
		return fmt.Errorf("%s was saved by another program while it was drawn into; nothing was written. Draw again",
			name)
	}
	if _, err := os.Stat(name + ".bak"); err == nil && bytes.Equal(was, data) {
		return nil
	}
	if err := writeWhole(name+".bak", was); err != nil {
		return err
	}
	return writeWhole(name, data)
}
