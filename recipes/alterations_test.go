package recipes

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// Over made-up bodies, lists and patterns of every garment type: alterations
// follow the trade's order and count from 1, amounts are finite, nothing they say
// is unknown save what a list asks for, and beyond its rule's most a caution speaks.
func TestAlterationsOfEveryType(t *testing.T) {
	voc, shared := known(t)
	byID := map[string]*engine.Rule{}
	for _, r := range shared {
		byID[r.ID] = r
	}
	made := map[string]int{}
	for i, name := range Names() {
		recipe, err := Shipped(name, voc)
		if err != nil {
			t.Fatal(err)
		}
		g := &grid{recipe, voc, alterationsOf(shared)}
		for p := i % 3; p < triedPatterns; p += 3 {
			f, err := engine.Prepare(g.pattern(p), recipe, shared, voc)
			if err != nil {
				continue // nothing picks a size of this type
			}
			for n := p % 4; n < triedFittings; n += 4 * patience {
				a, err := f.Advise(engine.Request{Fitting: g.fitting(p, n)})
				if err != nil {
					continue // nor on this body
				}
				checkAlterations(t, name, a, byID)
				for _, alteration := range a.Alterations {
					made[alteration.ID]++
				}
			}
		}
	}
	for id, r := range byID {
		if r.Alter != nil && made[id] == 0 {
			t.Errorf("%s is never made", id)
		}
	}
}

func checkAlterations(t *testing.T, name string, a *engine.Answer, byID map[string]*engine.Rule) {
	t.Helper()
	last := -1
	for i, alteration := range a.Alterations {
		step := slices.Index(engine.Steps(), alteration.Step)
		if step < last || alteration.Order != i+1 {
			t.Errorf("%s: %s, step %s, is number %d behind step %s", name, alteration.ID, alteration.Step, alteration.Order, engine.Steps()[max(last, 0)])
		}
		last = step
		listed := strings.HasPrefix(alteration.Because, "It is in your own list")
		if alteration.Where == "" || alteration.Spread == "" || strings.Contains(alteration.Say, formula.NotKnown) && !listed {
			t.Errorf("%s: %s: %+v", name, alteration.ID, alteration)
		}
		beyond := slices.ContainsFunc(a.Cautions, func(c engine.Caution) bool { return c.ID == "beyond-an-alteration" && c.Zone == alteration.Zone })
		if alteration.Amount == nil {
			continue
		}
		amount := math.Abs(*alteration.Amount)
		if math.IsNaN(amount) || math.IsInf(amount, 0) {
			t.Errorf("%s: %s by %v", name, alteration.ID, amount)
		}
		limits := byID[alteration.ID].Limits
		if most := slices.IndexFunc(limits, func(l engine.Limit) bool { return l.Name == "limit.most" }); most >= 0 && amount > limits[most].Value+0.001 && !beyond {
			t.Errorf("%s: %s by %v, and nothing is said of it", name, alteration.ID, amount)
		}
		if least := slices.IndexFunc(limits, func(l engine.Limit) bool { return l.Name == "limit.least" }); least >= 0 && amount < limits[least].Value-0.001 && !listed {
			t.Errorf("%s: %s by %v is not worth it", name, alteration.ID, amount)
		}
	}
}

// What a text speaks of and the condition does not ask for is said not to be
// known, and the answer stands.
func TestTextsOfWhatIsNotKnown(t *testing.T) {
	voc, shared := known(t)
	doc := file.Open("top.yaml", []byte(strings.Replace(topRecipe, `when: body.bust > 500, say: "a"`, `when: body.bust > 50, say: "Your neck is {body.neck}, your bust {body.bust}."`, 1)+
		"  - name: no neck"+topGiven+"    expect: {size: M, cautions: [own-rule]}\n"))
	recipe := ReadRecipe(doc, voc, rules.AtOnce)
	examples, _ := ReadExamples(doc, voc, recipe, shared, nil)
	if got := written(t, doc); got != "" {
		t.Fatal(got)
	}
	o := Run(&examples[0], recipe, shared, voc)
	if !o.Passed() {
		t.Fatal(describe(&o))
	}
	i := slices.IndexFunc(o.Answer.Cautions, func(c engine.Caution) bool { return c.ID == "own-rule" })
	if got := o.Answer.Cautions[i].Say; got != "Your neck is (not known), your bust 36 in." {
		t.Errorf("got %q", got)
	}
}

func TestDoubtAboutTexts(t *testing.T) {
	text := "kind: recipe\nname: it\ntitle: it\ndraft: all\ncontrolling: hip\nstretch: none\nzones: {hip: {role: decides, ease: 3 in .. 10 in}}\n" +
		"grading: {sensible: false, because: it is one piece}\ncautions:\n" +
		"  - {id: of-recovery, severity: note, when: stretch.usable < 5, say: \"It springs back by {cloth.recovery}.\", source: s}\n" +
		"  - {id: guarded, severity: note, when: stretch.usable < 5 and known(cloth.recovery), say: \"It springs back by {cloth.recovery}.\", source: s}\n" +
		"examples:\n  - name: it fits\n    given:\n      body: {hip: 112 cm}\n      pattern: {units: cm, sizes: [18], body: {hip: [112]}, finished: {hip: [122]}}\n    expect: {size: 18}\n"
	got := doubtful(t, text)
	if want := "10:5 FA0553 the rule `of-recovery` spoke in a made-up case in which `cloth.recovery`, of which it tells, was not known"; !slices.Equal(got, []string{want}) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A list may name only what there is.
func TestUnknownAlterations(t *testing.T) {
	voc, shared := known(t)
	doc := file.Open("me.yaml", []byte("kind: body\nname: Wren\nmeasurements: {hip: 90 cm}\nalterations: {sway-back: 1 cm, sway-bak: 1 cm, off-chart: yes}\n"))
	b := ReadBody(doc, voc)
	var got []string
	for _, p := range UnknownAlterations(b.Alterations, shared) {
		got = append(got, p.Range.String()+" "+p.Summary+" "+p.Hint[:13])
	}
	want := []string{"me.yaml:4:48 no alteration is called `off-chart` there are: bo", "me.yaml:4:32 no alteration is called `sway-bak` did you mean "}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
