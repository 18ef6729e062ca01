package plan

import (
	"twinline/layout/diag"
	"twinline/layout/duct"
	"twinline/layout/geom"
	"twinline/layout/key"
	"twinline/layout/words"
)

// made is what one stage makes: pieces in the order they are drawn, how they lead the centrelines of their runs, and
// what it finds.
type made struct {
	pieces  []*piece
	detours []detour
	findings
}

// detour lets the drawn centreline of a run begin (near) or end (far) by way of some points instead of at its end.
type detour struct {
	runEnd
	by []geom.Vec
}

// runEnd is one end of a run.
type runEnd struct {
	run duct.RunID
	end duct.End
}

// stage is one stage at work: what it makes pieces of, and what it made so far.
type stage struct {
	*model
	made
}

// newPiece starts a piece that is booked on r.
func (s *stage) newPiece(k key.Key, r *duct.Run, nodes ...duct.NodeID) *piece {
	p := &piece{key: k, air: r.Air, status: r.Status, run: r.ID, nodes: nodes, shell: float64(r.Spec.Insulation),
		half: float64(s.size(r.ID).Height) / 2}
	s.pieces = append(s.pieces, p)
	return p
}

// join adds what other stages made.
func (s *made) join(others ...made) {
	for _, o := range others {
		s.pieces = append(s.pieces, o.pieces...)
		s.detours = append(s.detours, o.detours...)
		s.list = append(s.list, o.list...)
	}
}

// findings are what a stage reports.
type findings struct{ list diag.List }

// report adds a finding, its two parts as sentences.
func (f *findings) report(code diag.Code, at geom.Vec, handle, text, do string) {
	f.list.Add(code, [3]float64{at.X, at.Y, at.Z}, handle, words.Sentence(text), words.Sentence(do))
}

// handle returns the handle of the sketch entity a run came from.
func handle(r *duct.Run) string {
	if len(r.Handles) == 0 {
		return ""
	}
	return r.Handles[0]
}
