package duct

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// By hand: 6 Pa at 1.5 Pa/m are 4 m. Where nothing flows nothing is counted.
func TestFrictionLength(t *testing.T) {
	require.InDelta(t, 4, float64((&RunResult{Length: 5, Friction: 6, Rate: 1.5}).FrictionLength()), 1e-12)
	require.Zero(t, (&RunResult{Length: 5}).FrictionLength())
}
