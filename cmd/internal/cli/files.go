package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"syscall"

	"twinline/dxfio"
)

// settingsName is the settings file looked for beside the drawing.
const settingsName = "twinline.toml"

// From this size of a drawing on memory is kept tight: garbage is collected when it is lean percent of what is held.
// Most of that are the bytes of drawings, which are not searched, so that it costs next to nothing.
const (
	large = 8 << 20 // bytes
	lean  = 10      // percent
)

// readFile reads a whole file; its errors say what to do.
func readFile(name string) ([]byte, error) {
	info, err := os.Stat(name)
	switch {
	case err != nil:
		return nil, plain(name, err)
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder; name a file", name)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s is a device or a pipe; name a file", name)
	case info.Size() > dxfio.MaxFile:
		return nil, fmt.Errorf("%s has %d bytes; no more than %d can be read", name, info.Size(), int64(dxfio.MaxFile))
	case info.Size() > large:
		debug.SetGCPercent(lean)
	}
	data, err := os.ReadFile(name)
	return data, plain(name, err)
}

// troubles are errors of files in a drafter's words.
var troubles = []struct {
	err  error
	text string
}{
	{fs.ErrNotExist, "there is no such file or folder"},
	{fs.ErrPermission, "you may not read or write there, or another program has it open"},
	{syscall.ENOSPC, "the disk is full"},
	{syscall.EDQUOT, "your share of the disk is used up"},
	{syscall.EROFS, "the disk is write-protected"},
	{syscall.ENAMETOOLONG, "the name is too long"},
	{syscall.ENOTDIR, "what should be a folder on the way there is a file"},
	{syscall.ELOOP, "its links lead in a circle"},
	{syscall.EFBIG, "the file would be larger than is allowed"},
	{syscall.EIO, "the disk or the network does not answer as it should"},
}

// plain puts an error of the file called name into a drafter's words; nil stays nil.
func plain(name string, err error) error {
	if err == nil {
		return nil
	}
	for _, t := range troubles {
		if errors.Is(err, t.err) {
			return fmt.Errorf("%s: %s", name, t.text)
		}
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err // without the name of a file the user never named
	}
	return fmt.Errorf("%s: %w", name, err)
}

// readSettings returns the settings file in force for a drawing, nil where there is none.
func (a *app) readSettings(drawing string) (data []byte, name string, err error) {
	if name = a.settings; name == "" {
		name = filepath.Join(filepath.Dir(drawing), settingsName)
		if _, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) {
			return nil, name, nil
		}
	}
	data, err = readFile(name)
	return data, name, err
}

// beside returns the name of a file beside drawing: its name with ending before .dxf.
func beside(drawing, ending string) string {
	ext := filepath.Ext(drawing)
	if !strings.EqualFold(ext, ".dxf") {
		ext = ""
	}
	return strings.TrimSuffix(drawing, ext) + ending + ".dxf"
}

// sameFile reports whether two names are of one file that is there.
func sameFile(a, b string) bool {
	x, errA := os.Stat(a)
	y, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(x, y)
}

// holds reports whether a file holds data and nothing else, without reading it whole.
func holds(name string, data []byte) (bool, error) {
	f, err := os.Open(name)
	if err != nil {
		return false, plain(name, err)
	}
	defer f.Close()
	chunk := make([]byte, 1<<16)
	for {
		n, err := f.Read(chunk)
		if n > len(data) || !bytes.Equal(chunk[:n], data[:n]) {
			return false, nil
		}
		data = data[n:]
		if err == io.EOF {
			return len(data) == 0, nil
		}
		if err != nil {
			return false, plain(name, err)
		}
	}
}
