// Twinline turns a single-line duct sketch in a DXF drawing into a finished double-line
// duct plan in the same drawing.
package main

import (
	"os"

	"twinline/cmd/internal/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], os.Stdout, os.Stderr)) }
