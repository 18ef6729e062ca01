package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// settingsName is the settings file looked for beside the drawing.
const settingsName = "twinline.toml"

// readFile reads a whole file; its errors say what to do.
func readFile(name string) ([]byte, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, plain(err)
	}
	if info.IsDir() {
		return nil, fmt.Errorf("%s is a folder; name a DXF file", name)
	}
	data, err := os.ReadFile(name)
	return data, plain(err)
}

// plain puts the usual file errors into a drafter's words.
func plain(err error) error {
	var path *fs.PathError
	if !errors.As(err, &path) {
		return err
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: there is no such file or folder", path.Path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s: you may not read or write there", path.Path)
	}
	return err
}

// readSettings returns the settings file in force for a drawing, nil where there is none.
func (a *app) readSettings(drawing string) (data []byte, name string, err error) {
	if a.settings != "" {
		data, err = readFile(a.settings)
		return data, a.settings, err
	}
	name = filepath.Join(filepath.Dir(drawing), settingsName)
	data, err = os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, name, nil
	}
	return data, name, plain(err)
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

// writeWhole writes a file so that it appears whole or not at all: written beside, put on
// disk, then renamed. An existing file keeps its permissions.
func writeWhole(name string, data []byte) (err error) {
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(name); err == nil {
		if info.IsDir() {
			return fmt.Errorf("%s is a folder; name a file", name)
		}
		mode = info.Mode().Perm()
		if mode&0o200 == 0 {
			return fmt.Errorf("%s is write-protected; nothing was written", name)
		}
	}
	tmp, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return fmt.Errorf("nothing was written: %w", plain(&fs.PathError{Op: "create", Path: filepath.Dir(name), Err: underlying(err)}))
	}
	defer func() {
		if err != nil {
			tmp.Close()
			os.Remove(tmp.Name())
		}
	}()
	if _, err = tmp.Write(data); err != nil {
		return err
	}
	if err = tmp.Chmod(mode); err != nil {
		return err
	}
	if err = tmp.Sync(); err != nil {
		return err
	}
	if err = tmp.Close(); err != nil {
		return err
	}
	return os.Rename(tmp.Name(), name)
}

func underlying(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// replaceFile puts data in the place of a drawing and keeps the earlier file as .bak. Where
// nothing changes a .bak that is there stays: it is the last one that differs.
func replaceFile(name string, data []byte) error {
	old, err := readFile(name)
	if err != nil {
		return err
	}
	if _, err := os.Stat(name + ".bak"); err == nil && bytes.Equal(old, data) {
		return nil
	}
	if err := writeWhole(name+".bak", old); err != nil {
		return err
	}
	return writeWhole(name, data)
}
