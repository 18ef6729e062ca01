package sketch

import (
	"cmp"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"twinline/layout/duct"
)

// allTopics are those the documents list.
var allTopics = append(slices.Clone(noteTopics), wallRating)

// TestDocumentsListTheNotes holds the tables of notes in the README and in the documentation of the package to the
// table that reads them; UPDATE=1 writes them.
func TestDocumentsListTheNotes(t *testing.T) {
	readme, doc := "| note | example | about |\n| --- | --- | --- |\n", ""
	for _, topic := range allTopics {
		for _, r := range topic.rows {
			name := cmp.Or(r.name, topic.name)
			readme += fmt.Sprintf("| %s | `%s` | %s |\n", name, strings.Join(r.shown, "`, `"), r.means)
			doc += fmt.Sprintf("//\t%s: %s\n//\t\t%s\n", name, strings.ReplaceAll(r.means, "`", ""),
				strings.Join(slices.Concat(r.shown, r.also), "   "))
		}
	}
	holdPart(t, "../../README.md", "<!-- notes -->\n", "<!-- end of notes -->", readme)
	holdPart(t, "doc.go", "//\n// The table:\n//\n", "//\n// End of the table.\n", doc)
}

// holdPart holds what stands between two lines of a file to want; UPDATE=1 writes it.
func holdPart(t *testing.T, name, begin, end, want string) {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(data), begin)
	require.True(t, ok)
	_, after, ok := strings.Cut(rest, end)
	require.True(t, ok)
	want = before + begin + want + end + after
	if os.Getenv("UPDATE") != "" {
		require.NoError(t, os.WriteFile(name, []byte(want), 0o644))
		return
	}
	require.Equal(t, want, string(data), "UPDATE=1 go test ./layout/sketch rewrites the tables")
}

// TestEveryForm reads every form the table of notes shows, alone, and finds the row it stands in.
func TestEveryForm(t *testing.T) {
	units := map[string]duct.Length{"CL +3.30": duct.Metre, "22x10 oval": duct.Inch, "oval 22x10": duct.Inch}
	for _, topic := range noteTopics {
		for _, r := range topic.rows {
			require.NotEmpty(t, r.shown, topic.name)
			for _, form := range slices.Concat(r.shown, r.also) {
				unit, ok := units[form]
				if !ok {
					unit = duct.Millimetre
				}
				parts, faults := notesIn(unit).parse(form)
				require.Empty(t, faults, form)
				require.Len(t, parts, 1, form)
				require.Equal(t, topic.name, parts[0].topic.name, form)
				if parts[0].row.name != "size, round" && topic == elevation {
					require.Equal(t, r.name, parts[0].row.name, form)
				}
				require.Equal(t, r.about, parts[0].row.about, form)
				for _, tail := range []string{"", " single"} { // what a form ends with is no part of the next
					more, faults := notesIn(unit).parse("single " + form + tail)
					require.Empty(t, faults, form)
					rest := strings.TrimPrefix(say(more), "single, ")
					rest = strings.TrimSuffix(rest, strings.Replace(tail, " ", ", ", 1))
					require.Equal(t, say(parts), rest, form)
				}
			}
		}
	}
	for _, form := range wallRating.rows[0].shown {
		parts, faults := parseRating(form)
		require.Empty(t, faults, form)
		require.NotEmpty(t, parts, form)
	}
}

// TestTableAgreesWithItself holds the words of every row, what it means and what it sets to each other.
func TestTableAgreesWithItself(t *testing.T) {
	for _, topic := range allTopics {
		for _, r := range topic.rows {
			all := r.about | r.otherwise | r.own
			for _, k := range kindNames {
				named := regexp.MustCompile(`\b` + k.name + `\b`).MatchString(r.means)
				require.Equal(t, all&k.kind != 0, named, "%s: %s", topic.name, k.name)
			}
			require.Equal(t, topic.run != nil || topic == elevation, all&onLine != 0, topic.name)
			require.Equal(t, topic.terminal != nil || topic == elevation && all&onTerminal != 0, all&onTerminal != 0, topic.name)
			require.Equal(t, topic.unit != nil || topic == elevation && all&onUnit != 0, all&onUnit != 0, topic.name)
			require.Equal(t, topic.run != nil && topic.holds == Downstream, strings.Contains(r.means, "downstream"), topic.name)
			require.False(t, r.slips != "" && r.example == (example{}), topic.name)
			require.False(t, r.then != nil && r.example == (example{}), topic.name)
			for _, w := range r.words {
				require.Equal(t, strings.ToLower(w.text), w.text)
				if r.then == nil {
					parts, _ := notesIn(duct.Millimetre).parse(w.text)
					require.Len(t, parts, 1, w.text)
					require.Equal(t, topic.name, parts[0].topic.name, w.text)
				}
			}
		}
	}
}

// TestExamplesReadBack reads every form a hint proposes, in each drawing it is proposed in, as the row it is of.
func TestExamplesReadBack(t *testing.T) {
	for _, unit := range []duct.Length{duct.Millimetre, duct.Centimetre, duct.Metre, duct.Inch, duct.Foot} {
		for _, topic := range noteTopics {
			for _, r := range topic.rows {
				if r.example == (example{}) {
					continue
				}
				form, _, _ := strings.Cut(r.example.in(unit), " or ")
				parts, faults := notesIn(unit).parse(form)
				require.Empty(t, faults, "%q in units of %v", form, unit)
				require.Len(t, parts, 1, form)
				require.Equal(t, topic.name, parts[0].topic.name, form)
				if r.words == nil || r.then != nil {
					require.Contains(t, allForms(unit), form)
				}
			}
		}
		for _, a := range attributes {
			parts, faults := grammar{unit: unit, topics: a.reads, bare: a.bare}.parse(
				strings.Split(a.example.in(unit), " or ")[0])
			require.Empty(t, faults, "%s in units of %v", a.tag, unit)
			require.Len(t, parts, 1, a.tag)
		}
	}
}

// What is said in a metric drawing has no inches or feet, and every topic of the table is in the list of forms.
func TestHintsAreInTheUnitOfTheDrawing(t *testing.T) {
	for _, unit := range []duct.Length{duct.Millimetre, duct.Centimetre, duct.Metre} {
		for _, text := range []string{"CL", "EL", "BOP", "top", "lned", "lined", "insul", "H>=250", "hello", "diam",
			"ø99999999", "2.5 mm x3", "liner", "insull"} {
			_, faults := notesIn(unit).parse(text)
			require.NotEmpty(t, faults, text)
			for _, f := range faults {
				said := strings.ReplaceAll(f.text, text, "") + strings.ReplaceAll(f.do, "sketch's", "sketch")
				require.NotRegexp(t, `'|[0-9]"[,.)]|[0-9] in\b|cfm|in\.wg`, said, text)
			}
		}
	}
	for unit, want := range map[duct.Length]string{duct.Millimetre: `"CL 3300"`, duct.Metre: `"CL +3.30 m"`,
		duct.Inch: `CL 10'-10"`} {
		_, faults := notesIn(unit).parse("CL")
		require.Contains(t, faults[0].do, want)
	}
	for _, form := range []string{"oval", "C=0.35", "flat left", "spiral", "150 Pa", "105 L/s", "rect", "single"} {
		require.Contains(t, allForms(duct.Millimetre), form)
	}
	_, faults := notesIn(duct.Millimetre).parse("ø99999999")
	require.Equal(t, `"ø99999999" would be 99999999 mm in this drawing.`, faults[0].text)
}
