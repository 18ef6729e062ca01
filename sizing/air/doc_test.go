package air

import (
	"testing"

	"twinline/sizing/internal/checks"
)

func TestEachFormulaIsDocumented(t *testing.T) { checks.Documented(t, ".") }
