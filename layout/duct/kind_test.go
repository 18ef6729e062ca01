package duct

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Every kind has a row of its own: a name of its own, a family, a word for findings, and what it counts as where it is
// listed.
func TestEveryKindHasItsTraits(t *testing.T) {
	names := map[string]FittingKind{}
	for k := range FittingKinds {
		traits := k.Traits()
		require.NotEmpty(t, traits.Name, "kind %d has no row", k)
		require.NotContains(t, names, traits.Name)
		names[traits.Name] = k
		require.NotEqual(t, NoFamily, traits.Family, traits.Name)
		require.NotEmpty(t, traits.Word, traits.Name)
		require.Equal(t, traits.Listing == Unlisted, traits.Count == "", traits.Name)
	}
}
