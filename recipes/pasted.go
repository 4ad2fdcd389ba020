package recipes

import (
	"regexp"
	"slices"
	"strings"

	"fitadvisor/engine"
)

// Tidied is the cells of a table that was pasted, all lines as long and the line of sizes or of measurements first; its first
// cell says which. What is no part of a chart is left out, and commaSpace as skipped. A unit in a label is put behind each figure
// of its line.
func Tidied(text string, voc *engine.Vocabulary) (table [][]string, skipped []string) {
	t := pastedTable{voc: voc, rows: parted(text)}
	t.rows = slices.DeleteFunc(t.rows, func(row []string) bool { return strings.Join(row, "") == "" })
	t.titles()
	if len(t.rows) < 2 {
		return t.rows, t.skipped
	}
	t.header()
	if t.rows[0][0] == "size" {
		t.columns()
	} else {
		t.lines()
	}
	return t.rows, t.skipped
}

// RowOf is the cells of one row that is typed: what is measured, with a colon behind it or without, and its figures, apart as
// in a table.
func RowOf(line string) []string {
	name, rest, named := strings.Cut(line, ":")
	if !named {
		name, rest = "", line
	}
	apart := apartBy(line)
	if apart == "" && commaSpace.MatchString(rest) {
		apart = ","
	}
	if apart == "" {
		return spaced(strings.TrimSpace(name + " " + strings.TrimSpace(rest)))
	}
	row := strings.Split(strings.Trim(strings.TrimSpace(rest), apart), apart)
	if !named { // what is measured may stand before the first figure with nothing but a space between
		row = append(spaced(row[0]), row[1:]...)
	} else {
		row = append([]string{name}, row...)
	}
	for k := range row {
		row[k] = unquoted(strings.TrimSpace(row[k]))
	}
	return row
}

// pastedTable is such a table, on its way.
type pastedTable struct {
	voc     *engine.Vocabulary
	rows    [][]string
	skipped []string
}

// called tells whether a text is the name of a measurement, with a unit or without.
func (t *pastedTable) called(text string) bool { return isNamed(t.voc, text) }

// titles takes out what stands above the chart, and lines that hold one text only.
func (t *pastedTable) titles() {
	first := 0
	for i, row := range t.rows {
		if i+1 < len(t.rows) && (t.called(t.rows[i+1][0]) && !t.called(row[0]) || slices.ContainsFunc(slices.Concat(row[1:], t.words(row)), t.called)) {
			first = i
			break
		}
	}
	var kept [][]string
	for i, row := range t.rows {
		held := slices.DeleteFunc(slices.Clone(row), func(c string) bool { return c == "" })
		if i < first || i > first && len(held) == 1 && !t.called(held[0]) {
			t.skipped = append(t.skipped, strings.Join(held, " "))
			continue
		}
		kept = append(kept, row)
	}
	t.rows = kept
}

// words are those of a line of names that nothing but spaces parts.
func (t *pastedTable) words(row []string) []string {
	if len(row) > 1 {
		return nil
	}
	return strings.Fields(row[0])[min(1, len(strings.Fields(row[0]))):]
}

// header makes the first line as long as the others, and says in its corner what stands beneath.
func (t *pastedTable) header() {
	head, wide := t.rows[0], 0
	for _, row := range t.rows[1:] {
		wide = max(wide, len(row))
	}
	if len(head) == 1 && wide > 1 {
		head = t.named(strings.Fields(head[0]))
	}
	if len(head)+1 == wide {
		head = append([]string{""}, head...)
	}
	if slices.ContainsFunc(head[1:], t.called) {
		head[0] = "size"
	} else {
		head[0] = "measurement"
	}
	t.rows[0] = head
	for i, row := range t.rows {
		for len(row) < len(head) {
			row = append(row, "")
		}
		t.rows[i] = row
	}
}

// named makes names of words: as many of them together as are the name of a measurement.
func (t *pastedTable) named(words []string) []string {
	var names []string
	for len(words) > 0 {
		n := 1
		for k := min(4, len(words)); k > 1; k-- {
			if t.called(strings.Join(words[:k], " ")) {
				n = k
				break
			}
		}
		names, words = append(names, strings.Join(words[:n], " ")), words[n:]
	}
	return names
}

// lines goes through measurements that stand one below the other.
func (t *pastedTable) lines() {
	kept := t.rows[:1]
	for _, row := range t.rows[1:] {
		name, unit := unitBehind(row[0])
		if !t.known(name) {
			t.skipped = append(t.skipped, name)
			continue
		}
		row[0] = name
		for k := range row[1:] {
			row[k+1] = figureIn(row[k+1], unit)
		}
		kept = append(kept, row)
	}
	t.rows = kept
}

// columns goes through measurements that stand side by side.
func (t *pastedTable) columns() {
	for k := len(t.rows[0]) - 1; k > 0; k-- {
		name, unit := unitBehind(t.rows[0][k])
		if !t.known(name) {
			t.skipped = append(t.skipped, name)
			for i, row := range t.rows {
				if k < len(row) {
					t.rows[i] = slices.Delete(row, k, k+1)
				}
			}
			continue
		}
		t.rows[0][k] = name
		for _, row := range t.rows[1:] {
			if k < len(row) {
				row[k] = figureIn(row[k], unit)
			}
		}
	}
}

// known tells whether a name is that of a measurement, or so near to one that it is asked about.
func (t *pastedTable) known(name string) bool {
	return name == "" || t.called(name) || !unknownWord(t.voc, name)
}

// figureIn is a figure with the unit of its line, where it has none itself.
func figureIn(figure, unit string) string {
	if unit == "" || figure == "" || !bare.MatchString(figure) {
		return figure
	}
	return figure + " " + unit
}

var (
	bare        = regexp.MustCompile(`[\d¼½¾⅛⅜⅝⅞]$`)
	farApart    = regexp.MustCompile(`\s{2,}`)
	fraction    = regexp.MustCompile(`^(\d+/\d+|[¼½¾⅛⅜⅝⅞⅓⅔])["”]?$`)
	whole       = regexp.MustCompile(`^\d+$`)
	sizeLetters = regexp.MustCompile(`(?i)^(\d*x*[sml]|x+l)$`)
	unitWord    = regexp.MustCompile(`(?i)^(cm|in|inch|inches|mm|")$`)
	commaSpace  = regexp.MustCompile(`,\s`) // a comma with a space behind it parts, and is no decimal one
	listOfThree = regexp.MustCompile(`^[^,]*(,[^,]*){2,}$`)
)

// parted takes a table apart: by tabs, by semicolons, by upright strokes, by commas that part cells, or by spaces.
func parted(text string) [][]string {
	text = strings.NewReplacer("\u00a0", " ", "\r\n", "\n", "\r", "\n").Replace(text)
	text = strings.Trim(text, "\n")
	apart := apartBy(text)
	var rows [][]string
	for line := range strings.SplitSeq(text, "\n") {
		var row []string
		switch apart {
		case "":
			row = spaced(line)
		case "|":
			row = strings.Split(strings.Trim(strings.TrimSpace(line), "|"), apart)
			if strings.Trim(line, "|-: ") == "" {
				row = nil // the rule beneath a header
			}
		default:
			row = strings.Split(line, apart)
		}
		for k := range row {
			row[k] = unquoted(strings.TrimSpace(row[k]))
		}
		if row != nil {
			rows = append(rows, row)
		}
	}
	return rows
}

// apartBy is what parts the cells of a table; empty: nothing but spaces.
func apartBy(text string) string {
	for _, apart := range []string{"\t", ";", "|"} {
		if strings.Contains(text, apart) {
			return apart
		}
	}
	if commasPart(text) {
		return ","
	}
	return ""
}

// unquoted is a cell without the quotes that a spreadsheet puts round it.
func unquoted(cell string) string {
	if len(cell) > 1 && strings.HasPrefix(cell, `"`) && strings.HasSuffix(cell, `"`) {
		return strings.ReplaceAll(cell[1:len(cell)-1], `""`, `"`)
	}
	return cell
}

// commasPart tells whether commas part the cells of a table, and are no decimal commas: most lines are a list of three or more
// without a figure behind a space.
func commasPart(text string) bool {
	lists, lines := 0, strings.Split(text, "\n")
	for _, line := range lines {
		if listOfThree.MatchString(line) && !decimals.MatchString(line) {
			lists++
		}
	}
	return 2*lists >= len(lines)
}

// decimals are two figures with a decimal comma that a space parts.
var decimals = regexp.MustCompile(`\d,\d+\s+\d+(,\d)?`)

// spaced takes a line apart that only spaces part: what is measured, and then figures, of which a whole one and a fraction are one.
func spaced(line string) []string {
	if strings.Contains(strings.TrimSpace(line), "  ") {
		row := farApart.Split(strings.TrimSpace(line), -1)
		if strings.HasPrefix(line, "  ") {
			row = append([]string{""}, row...)
		}
		return row
	}
	var row []string
	for _, word := range strings.Fields(line) {
		last := len(row) - 1
		switch {
		case last > 0 && (fraction.MatchString(word) && whole.MatchString(row[last]) || unitWord.MatchString(word)):
			row[last] += " " + word
		case last == 0 && !figured(word) && !figured(row[0]) && !sizeLetters.MatchString(word):
			row[0] += " " + word
		default:
			row = append(row, word)
		}
	}
	return row
}

// figured tells whether a word begins as a figure, or as a gap.
func figured(word string) bool {
	return strings.ContainsAny(word[:1], "0123456789-~") || strings.HasPrefix(word, "–")
}
