package recipes

import (
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/rules/file"
)

// sits is a garment type of a name that is decided by the seated hip, taken in some way.
func sits(name, how string) string {
	return own(name, `draft: all
measurements: {seated_hip: {title: seated hip, kind: girth, level: hip, how: "`+how+`", also: hip when sitting}}
controlling: seated_hip
stretch: none
zones: {seated_hip: {role: decides, ease: 4 cm .. 8 cm}}
grading: {sensible: false, because: it is short}
`)
}

// What garment types of the person's own declare is known to every body file. Two that say the same agree, in whatever
// order they are read; one that says otherwise is told where the other stands, and only when it is itself asked for.
func TestDeclaredMeasurements(t *testing.T) {
	shipped, _ := known(t)
	l := mine(map[string]string{"a.yaml": sits("a", "Sit."), "b.yaml": sits("b", "Sit."), "c.yaml": sits("c", "Sit on a cushion.")})
	voc, _ := l.Vocabulary(shipped)
	body := file.Open("body.yaml", []byte("kind: body\nname: Wren\nmeasurements: {Hip when sitting: 108 cm, hip: 101 cm, hpi: 3 cm}\n"))
	b := ReadBody(body, voc)
	if got := b.Measurements["seated_hip"].Readings; len(got) != 1 || got[0].Length != 108*quantity.Centimetre {
		t.Errorf("the seated hip is %v", got)
	}
	if told := written(t, body); !strings.Contains(told, "unknown measurement `hpi`") || strings.Contains(told, "error[FA0302]: unknown measurement `Hip") {
		t.Error(told)
	}
	for name, want := range map[string]string{"a": "", "b": "", "c": "./mine/c.yaml:5:16: error[FA0417]: `seated_hip` is declared otherwise at ./mine/a.yaml:5:16"} {
		found, err := l.Recipe(name, voc)
		if err != nil {
			t.Fatal(err)
		}
		if told, _, _ := strings.Cut(written(t, found.Doc), "\n"); told != want {
			t.Errorf("of %s is told %q, not %q", name, told, want)
		}
		if m := found.Recipe.Measurements; len(m) != 1 || m[0].Of != name {
			t.Errorf("%s declares %v", name, m)
		}
	}
}

// A recipe is read, asked and answered by a vocabulary that has never heard of its measurements.
func TestDeclaredByRecipeAlone(t *testing.T) {
	voc, shared := known(t)
	doc := file.Open("sits.yaml", []byte(sits("sits", "Sit.")+`examples:
  - name: sitting   # 114 - 108 = 6 cm
    given:
      body: {seated_hip: 108 cm}
      pattern: {units: cm, sizes: [S, M], body: {seated_hip: [100, 108]}, finished: {hip when sitting: [106, 114]}}
    expect: {size: M, zones: {seated_hip: {ease: 6 cm, verdict: as wanted}}}
`))
	s, _ := Library{}.ReadSuite(doc, voc, shared, nil)
	if told := doc.Problems(); told.HasErrors() {
		t.Fatal(written(t, doc))
	}
	o := Run(&s.Examples[0], s.Recipe, shared, voc)
	if !o.Passed() {
		t.Errorf("%v, %+v", o.Err, o.Results)
	}
	if groups := s.Recipe.Asks(voc, shared); len(groups[0]) != 1 || groups[0][0] != "seated_hip" {
		t.Errorf("it asks for %v", groups)
	}
	if voc.Measure("seated_hip") != nil {
		t.Error("the vocabulary itself has changed")
	}
}

// A type based on another has what that declares, and adds its own.
func TestDeclaredAndTakenOver(t *testing.T) {
	l := mine(map[string]string{"a.yaml": sits("a", "Sit."), "d.yaml": own("d", "based_on: a\nmeasurements: {lap: {title: lap, kind: width, how: Across it.}}\nzones: {lap: {role: mended, ease: 0 cm .. 2 cm}}\n")})
	r := l.must(t, "d")
	if len(r.Measurements) != 2 || r.Measurements[0].Kind != engine.Girth && r.Measurements[1].Kind != engine.Girth {
		t.Errorf("it has %+v", r.Measurements)
	}
}
