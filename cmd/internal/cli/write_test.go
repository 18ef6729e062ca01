package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWhoeverStopsLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	tmp, err := os.CreateTemp(dir, "x")
	require.NoError(t, err)
	defer tmp.Close()
	stop := make(chan os.Signal, 1)
	stop <- os.Interrupt
	require.ErrorIs(t, fill(tmp, make([]byte, 3*writeStep), 0o600, stop), errInterrupted)
	info, err := tmp.Stat()
	require.NoError(t, err)
	require.Zero(t, info.Size(), "stopped before the first step")
	require.Equal(t, statusInterrupted, fileError(errInterrupted).(*statusError).status, "not the status of files")
}

// TestSavedMeanwhile draws into a drawing that the CAD program saved since it was read.
func TestSavedMeanwhile(t *testing.T) {
	name := filepath.Join(t.TempDir(), "live.dxf")
	for _, now := range []string{"as read and more", "as re", "As read", ""} {
		require.NoError(t, os.WriteFile(name, []byte(now), 0o600))
		require.ErrorContains(t, replaceFile(name, []byte("as read"), []byte("drawn")), "was saved by another program")
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		require.Equal(t, now, string(data))
		require.NoFileExists(t, name+".bak")
	}
	require.NoError(t, os.WriteFile(name, []byte("as read"), 0o600))
	require.NoError(t, replaceFile(name, []byte("as read"), []byte("drawn")))
	data, err := os.ReadFile(name + ".bak")
	require.NoError(t, err)
	require.Equal(t, "as read", string(data))
}
