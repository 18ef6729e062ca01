// Package network joins a sketch up: it snaps ends, splits runs where branches leave them,
// finds the head of every system, turns every run along the air and adds up the flow.
package network

import "twinline/layout/duct"

// Spec is the settings of this stage.
type Spec struct {
	Snap        duct.Length // ends nearer than this join
	FlexibleEnd duct.Length // the last part of a rigid run before a terminal that is flexible; 0 none
}
