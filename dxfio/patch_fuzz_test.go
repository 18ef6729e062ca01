package dxfio

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// FuzzApply draws into damaged drawings. Whatever can be read is drawn into without harm or refused with an error;
// what Apply gives, Verify accepts and a second run leaves as it is.
func FuzzApply(f *testing.F) {
	files, err := filepath.Glob("../testdata/dxf/blank-*.dxf")
	if err != nil || len(files) == 0 {
		f.Fatal("no seeds", err)
	}
	patch := everyKind()
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		doc, err := Read(data)
		if err != nil {
			f.Fatal(err)
		}
		out, _, err := doc.Apply(patch)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
		f.Add(out)
	}
	f.Add([]byte("0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"))
	f.Add([]byte("0\nSECTION\n2\nENTITIES\n0\nLINE\n8\n0\n1001\nTWINLINE\n1000\nkey=2F@0/wall/1\n0\nENDSEC\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		doc, err := Read(data)
		if err != nil {
			return
		}
		out, change, err := doc.Apply(patch)
		if err != nil {
			return
		}
		if err := Verify(doc, out, change); err != nil {
			t.Fatalf("what Apply gave is refused: %v", err)
		}
		again, err := Read(out)
		if err != nil {
			t.Fatal(err)
		}
		twice, _, err := again.Apply(patch)
		if err != nil {
			t.Fatalf("a second run fails: %v", err)
		}
		if !bytes.Equal(out, twice) {
			t.Fatal("a second run changes bytes")
		}
	})
}
