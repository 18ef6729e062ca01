package report

import (
	"bytes"
	_ "embed"
	"html/template"
)

//go:embed schedule.html
var schedulePage string

// pageCell is a cell as the page shows it.
type pageCell struct {
	Number bool
	Text   string
}

var scheduleTemplate = template.Must(template.New("schedule").Funcs(template.FuncMap{
	"cell": func(t Table, column int, c Cell) pageCell {
		return pageCell{t.Columns[column].Number, c.Print(t.Columns[column])}
	},
}).Parse(schedulePage))

// HTML writes a book as one page that needs nothing else, on a screen and on paper.
func (b Book) HTML() ([]byte, error) {
	var out bytes.Buffer
	err := scheduleTemplate.Execute(&out, b)
	return out.Bytes(), err
}
