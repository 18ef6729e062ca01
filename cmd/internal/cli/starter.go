package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"twinline/cmd/internal/config"
	"twinline/dxfio"
	"twinline/layout/duct"
)

// starterVersion is what the widest range of programs reads that knows line weights and
// layers that do not plot.
const starterVersion = "AC1015"

// Side lengths of the starter's blocks in metres, and the text height of their attributes
// as a part of it.
const (
	terminalSide  = 0.6
	unitSide      = 0.9
	attributeText = 0.12
)

func (a *app) starter() *cobra.Command {
	var out, version string
	var inch bool
	var airs []string
	c := &cobra.Command{
		Use:   "starter -o NEW.dxf",
		Short: "Make an empty drawing with the layers and blocks of the sketch convention",
		Long: `Starter makes an empty drawing to sketch in, or to copy layers from: every sketch layer of the airs you name, a block
for terminals and one for units with the attributes Twinline reads, and a text style.`,
		Example: "  twinline starter -o new.dxf\n  twinline starter -o new.dxf --inch --air SUP,ETA",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if out == "" {
				return usageError(errors.New("name the new drawing with -o NEW.dxf"))
			}
			if _, err := readFile(out); err == nil {
				return fileError(fmt.Errorf("%s is there already; remove it first or name another file", out))
			}
			settings, _, err := a.readSettings(out)
			if err != nil {
				return fileError(err)
			}
			s, err := config.Load(settings, !inch)
			if err != nil {
				return usageError(err)
			}
			patch, err := starterPatch(s, airs, inch)
			if err != nil {
				return usageError(err)
			}
			insUnits := 4
			if inch {
				insUnits = 1
			}
			doc, err := dxfio.New(version, insUnits)
			if err != nil {
				return usageError(err)
			}
			data, _, err := doc.Apply(patch)
			if err != nil {
				return err
			}
			if err := writeWhole(out, data); err != nil {
				return fileError(err)
			}
			a.say("Wrote %s with %d layers and %d blocks.\n", out, len(patch.Layers), len(patch.Blocks))
			return nil
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the new drawing `file`")
	c.Flags().BoolVar(&inch, "inch", false, "a drawing in inches instead of millimetres")
	c.Flags().StringVar(&version, "dxf", starterVersion, "DXF version, AC1009 to AC1032")
	c.Flags().StringSliceVar(&airs, "air", []string{"SUP", "ETA", "EHA"}, "airs to make layers for")
	return c
}

// starterPatch returns the layers, blocks and text style of the convention.
func starterPatch(s *config.Settings, airs []string, inch bool) (dxfio.Patch, error) {
	p := dxfio.Patch{Styles: []dxfio.StyleDef{s.Style}}
	k := s.Sketch.Layers
	layer := func(name, air string, status string) {
		def := dxfio.LayerDef{Name: name, Color: s.AirColor(air), Linetype: "CONTINUOUS", Weight: 25, Plots: true}
		if status == k.Existing {
			def.Weight = 13
		}
		p.Layers = append(p.Layers, def)
	}
	for _, air := range airs {
		air = strings.ToUpper(strings.TrimSpace(air))
		if !knownAir(air) {
			return p, fmt.Errorf("%q is no air; choose from SUP, ETA, EHA, ODA, RCA, TRA", air)
		}
		for _, part := range []string{k.Duct, k.Flex, k.Term, k.Unit} {
			for _, status := range []string{"", k.Existing, k.Removed, k.Future} {
				name := strings.Join([]string{k.Prefix, air, part}, "-")
				if status != "" {
					name += "-" + status
				}
				layer(name, air, status)
			}
		}
		layer(strings.Join([]string{k.Prefix, air, k.Note}, "-"), air, "")
	}
	for _, name := range []string{k.Limit, k.Ceiling, k.Rated} {
		layer(name, "", "")
	}
	unit := duct.Millimetre
	if inch {
		unit = duct.Inch
	}
	p.Blocks = []dxfio.BlockDef{
		starterBlock("TERMINAL", terminalSide/float64(unit), s.Style.Name, [][2]string{
			{"MARK", "Name, like S-101"}, {"FLOW", "Airflow, like 105 L/s or 220 cfm"}, {"EL", "Elevation"},
			{"NECK", "Connection size"}, {"CONN", "TOP or SIDE"}, {"DP", "Its pressure loss"}}),
		starterBlock("UNIT", unitSide/float64(unit), s.Style.Name, [][2]string{
			{"MARK", "Name, like TB-4"}, {"FLOW", "Airflow, where it is not the sum"}, {"ESP", "Pressure available"},
			{"DP", "Its pressure loss, in the middle of a system"}}),
	}
	return p, nil
}

func knownAir(word string) bool {
	for _, a := range duct.Airs {
		if a.String() == word {
			return true
		}
	}
	return false
}

// starterBlock returns a square block with attributes listed beside it.
func starterBlock(name string, side float64, style string, tags [][2]string) dxfio.BlockDef {
	h := side / 2
	corner := func(x, y float64) dxfio.Vertex { return dxfio.Vertex{Point: dxfio.Point{X: x * h, Y: y * h}} }
	b := dxfio.BlockDef{Name: name, Items: []dxfio.Item{
		{Layer: "0", Geometry: dxfio.PolylineGeom{Closed: true,
			Vertices: []dxfio.Vertex{corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)}}},
		{Layer: "0", Geometry: dxfio.LineGeom{A: dxfio.Point{X: -h}, B: dxfio.Point{X: h}}},
	}}
	height := side * attributeText
	for i, t := range tags {
		b.Items = append(b.Items, dxfio.Item{Layer: "0", Geometry: dxfio.AttribGeom{Tag: t[0], Prompt: t[1],
			At: dxfio.Point{X: h * 1.1, Y: h - float64(i+1)*height*1.6}, Height: height, Style: style,
			Invisible: i > 1}})
	}
	return b
}
