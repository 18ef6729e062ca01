package dxfio

import (
	"errors"
	"fmt"
	"math"
)

// checkGeometry refuses what no program should find in a drawing: numbers that are none, sizes
// that are not positive, chains of nothing, faces with corners that are not there.
func checkGeometry(g Geometry) error {
	switch g := g.(type) {
	case nil:
		return errors.New("it has no geometry")
	case LineGeom:
		return checkPoints(g.A, g.B)
	case ArcGeom:
		return errors.Join(checkPoints(g.Center), checkSize("radius", g.Radius), checkNumbers(g.Start, g.End))
	case CircleGeom:
		return errors.Join(checkPoints(g.Center), checkSize("radius", g.Radius))
	case PointGeom:
		return checkPoints(g.At)
	case SolidGeom:
		return checkPoints(g.Corners[:]...)
	case PolylineGeom:
		return checkPolyline(g)
	case MeshGeom:
		return checkMesh(g)
	case TextGeom:
		if g.Horizontal < 0 || g.Horizontal > textHorRight || g.Vertical < 0 || g.Vertical > textVertBottom {
			return fmt.Errorf("its text has the alignment %d, %d, which does not exist", g.Horizontal, g.Vertical)
		}
		return errors.Join(checkPoints(g.At), checkSize("text height", g.Height), checkNumbers(g.Angle))
	case InsertGeom:
		if g.Block == "" {
			return errors.New("it inserts a block without a name")
		}
		err := errors.Join(checkPoints(g.At), checkNumbers(g.Scale, g.Angle))
		for _, a := range g.Attribs {
			err = errors.Join(err, checkGeometry(a))
		}
		return err
	case AttribGeom:
		if g.Tag == "" {
			return errors.New("it has an attribute without a tag")
		}
		return errors.Join(checkPoints(g.At), checkSize("text height", g.Height))
	}
	return nil
}

func checkPolyline(g PolylineGeom) error {
	if n := len(g.Vertices); n < 2 || n > maxVertices {
		return fmt.Errorf("its polyline has %d vertices; between 2 and %d can be written", n, maxVertices)
	}
	var err error
	for _, v := range g.Vertices {
		err = errors.Join(err, checkPoints(v.Point), checkNumbers(v.Bulge))
		if err != nil {
			return err
		}
	}
	return nil
}

func checkMesh(g MeshGeom) error {
	if n := len(g.Vertices); n < 3 || n > maxMeshIndex {
		return fmt.Errorf("its mesh has %d vertices; between 3 and %d can be written", n, maxMeshIndex)
	}
	if n := len(g.Faces); n < 1 || n > maxMeshIndex {
		return fmt.Errorf("its mesh has %d faces; between 1 and %d can be written", n, maxMeshIndex)
	}
	for i, face := range g.Faces {
		if len(face) != 3 && len(face) != 4 {
			return fmt.Errorf("face %d of its mesh has %d corners; three or four can be written", i, len(face))
		}
		for _, corner := range face {
			if corner < 0 || corner >= len(g.Vertices) {
				return fmt.Errorf("face %d of its mesh names corner %d of %d", i, corner, len(g.Vertices))
			}
		}
	}
	return checkPoints(g.Vertices...)
}

func checkPoints(points ...Point) error {
	for _, p := range points {
		if err := checkNumbers(p.X, p.Y, p.Z); err != nil {
			return fmt.Errorf("its point (%g, %g, %g): %w", p.X, p.Y, p.Z, err)
		}
	}
	return nil
}

func checkNumbers(values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.Abs(v) > maxCoordinate {
			return fmt.Errorf("%g is no number a drawing can hold", v)
		}
	}
	return nil
}

func checkSize(what string, v float64) error {
	if !(onGrid(v) > 0) || v > maxCoordinate {
		return fmt.Errorf("its %s is %g; it has to be above zero", what, v)
	}
	return nil
}
