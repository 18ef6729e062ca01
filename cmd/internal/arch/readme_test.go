package arch

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/diag"
)

// TestReadmeListsTheFindings holds the table of the README to the catalogue; UPDATE=1 writes it.
func TestReadmeListsTheFindings(t *testing.T) {
	const name = "../../../README.md"
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(data), "<!-- findings -->\n")
	require.True(t, ok)
	_, after, ok := strings.Cut(rest, "<!-- end of findings -->")
	require.True(t, ok)

	var b strings.Builder
	b.WriteString("| code | level | meaning |\n| --- | --- | --- |\n")
	list := diag.Catalogue()
	codes := slices.SortedFunc(maps.Keys(list), func(a, b diag.Code) int {
		if list[a].Level != list[b].Level {
			return int(list[b].Level) - int(list[a].Level)
		}
		return strings.Compare(string(a), string(b))
	})
	for _, c := range codes {
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", c, list[c].Level, list[c].Meaning)
	}
	want := before + "<!-- findings -->\n" + b.String() + "<!-- end of findings -->" + after
	if os.Getenv("UPDATE") != "" {
		require.NoError(t, os.WriteFile(name, []byte(want), 0o644))
		return
	}
	require.Equal(t, want, string(data), "UPDATE=1 go test ./cmd/internal/arch rewrites the table")
}
