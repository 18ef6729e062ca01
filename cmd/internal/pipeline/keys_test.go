package pipeline

import (
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/key"
)

// What is drawn says by its key what it is of: a run, a node, a terminal or a unit, or a run at a node.
func TestKeysAreRead(t *testing.T) {
	for name, st := range demonstrations(t) {
		known := map[key.Key]bool{}
		for i := range st.Network.Terminals {
			known[st.Network.Terminals[i].Key] = true
		}
		for i := range st.Network.Units {
			known[st.Network.Units[i].Key] = true
		}
		for i := range st.Network.Runs {
			known[st.Network.Runs[i].Key] = true
		}
		for i := range st.Network.Nodes {
			n := &st.Network.Nodes[i]
			known[n.Key] = true
			for _, r := range n.Runs {
				known[n.Key.At(st.Network.Runs[r].Key)] = true
			}
		}
		for _, s := range st.Shapes {
			p := s.Key.Read()
			require.True(t, known[p.Subject], "%s: %s is of %s", name, s.Key, p.Subject)
			require.NotEmpty(t, p.Role, "%s: %s", name, s.Key)
		}
	}
}
