package recipes_test

import (
	"slices"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// Each word of the table is read as what the table says, in whatever case and with
// whatever between its parts; none is the name of something else, and of none that
// may mean several is one taken.
func TestSynonyms(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	measures, types := 0, 0
	for _, s := range voc.Synonyms {
		read, known := voc.Called, voc.Words()
		hint := voc.DidYouMean
		if s.Type {
			types++
			known, hint = recipes.Names(), voc.DidYouMeanType
			read = func(word string) (string, bool) { return voc.TypeCalled(word, recipes.Names()) }
		} else {
			measures++
		}
		for _, m := range s.Means {
			if !slices.Contains(known, m) {
				t.Errorf("%s means %s, which there is not", s.Word, m)
			}
		}
		if !strings.HasPrefix(s.Source, "common practice") && !strings.HasPrefix(s.Source, "memory-unverified: ") {
			t.Errorf("the source of %s is %q", s.Word, s.Source)
		}
		for _, typed := range []string{s.Word, strings.ToUpper(s.Word), strings.ReplaceAll(s.Word, " ", "_"), strings.ReplaceAll(s.Word, " ", "-")} {
			switch name, ok := read(typed); {
			case len(s.Means) == 1 && (!ok || name != s.Means[0]):
				t.Errorf("%q is read as %q, %v, not as %s", typed, name, ok, s.Means[0])
			case len(s.Means) > 1 && ok:
				t.Errorf("%q is read as %q, and may be %s", typed, name, strings.Join(s.Means, " or "))
			case len(s.Means) > 1 && hint(typed, known, "") != diag.Meant(s.Means...):
				t.Errorf("%q: %s", typed, hint(typed, known, ""))
			}
		}
	}
	if measures < 150 || types < 50 {
		t.Errorf("there are %d words for measurements and %d for garment types", measures, types)
	}
	for _, name := range voc.Words() {
		for _, typed := range []string{name, strings.ToUpper(name), voc.Title(name), strings.ReplaceAll(name, "_", " ") + "s", strings.ReplaceAll(name, "_", "-")} {
			if got, ok := voc.Called(typed); !ok || got != name {
				t.Errorf("%q is read as %q, %v", typed, got, ok)
			}
		}
	}
}

// What is asked after is near in meaning, not merely spelt alike: a width is no
// slip of a girth.
func TestNearInMeaning(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	for typed, want := range map[string]string{
		"shoulder_width": "did you mean `shoulder_length` or `back_width`?",
		"hip width":      "",
		"waist length":   "did you mean `back_waist_length` or `front_waist_length`?",
		"back height":    "",
		"front width":    "",
		"wiast":          "did you mean `waist`?",
		"hihg bust":      "did you mean `upper_bust`?",
		"insaem":         "did you mean `inside_leg`?",
		"Bciep":          "did you mean `upper_arm`?",
		"zzz":            "",
		"":               "",
	} {
		if got := voc.DidYouMean(typed, voc.BodyNames(), ""); got != want {
			t.Errorf("%q: got %q, want %q", typed, got, want)
		}
	}
	for typed, want := range map[string]string{
		"trousers":      "did you mean `woven-trousers`, `mens-trousers`, `wide-trousers`, `jeans` or `joggers`?",
		"pencil skrit":  "did you mean `straight-skirt`?",
		"gathered-skrt": "did you mean `gathered-skirt`?",
	} {
		if got := voc.DidYouMeanType(typed, recipes.Names(), ""); got != want {
			t.Errorf("%q: got %q, want %q", typed, got, want)
		}
	}
}

// In every kind of file, a word that people have for a measurement is read as that
// measurement, and the file says so once; two words for the same are an error.
func TestOtherWordsInFiles(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	said := func(doc *file.Doc) string {
		if p := doc.Problems(); len(p) == 1 && p[0].Severity == diag.Note {
			return p[0].Summary
		}
		return doc.Problems().Error()
	}
	body := file.Open("wren.yaml", []byte("kind: body\nname: Wren\ntaken: 2026-11-02\nunits: cm\nmeasurements: {Seat: 112, high-bust: 92, hip_depth: 20}\nsince: {seat: 2026-10-01}\nearlier: [{taken: 2025-10-01, measurements: {Seat: 110}}]\n"))
	b := recipes.ReadBody(body, voc)
	if b.Measurements["hip"].Readings[0].Text != "112" || b.Since["hip"] == "" || len(b.Earlier[0].Measurements["hip"].Readings) != 1 {
		t.Errorf("read %+v", b)
	}
	if got, want := said(body), "`Seat` is read as `hip`, `high-bust` as `upper_bust`, `hip_depth` as `waist_to_hip`, `seat` as `hip`"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	pattern := file.Open("skirt.yaml", []byte("kind: pattern\nname: Skirt\nrecipe: dirndl\nunits: in\nsizes: [S, M]\ndrafted_for: {hip depth: 8}\nbody: {seat: [36, 38], natural waist: [26, 28]}\nfinished: {hips: [41, 43], hem width: [60, 62]}\n"))
	p, _ := recipes.ReadPattern(pattern, voc, nil)
	for _, row := range []engine.Row{p.Chart["hip"], p.Chart["waist"], p.Finished["hip"], p.Finished["hem"]} {
		if len(row) != 2 || !row[1].Known {
			t.Errorf("read %+v %+v", p.Chart, p.Finished)
		}
	}
	if got, want := said(pattern), "`seat` is read as `hip`, `natural waist` as `waist`, `hips` as `hip`, `hem width` as `hem`, `hip depth` as `waist_to_hip`"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	table := "name,Full bust,inseam\nWren,92,76\n"
	bodies, doc := recipes.OpenBodies("b.csv", strings.NewReader(table), "cm", voc)
	line, _ := bodies.Next()
	if got, problems := bodies.Body(line); len(problems) > 0 || len(got.Measurements["bust"].Readings) != 1 || len(got.Measurements["inside_leg"].Readings) != 1 {
		t.Errorf("read %+v, %v", got, problems)
	}
	if got, want := said(doc), "`Full bust` is read as `bust`, `inseam` as `inside_leg`"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	both := file.Open("wren.yaml", []byte("kind: body\nname: Wren\nunits: cm\nmeasurements: {hip: 112, seat: 111}\n"))
	recipes.ReadBody(both, voc)
	if got, want := both.Problems().Error(), "wren.yaml:4:26: error[FA0107]: the key `seat` is read as `hip`, which stands here too"; !strings.Contains(got, want) {
		t.Errorf("got %s, want %s", got, want)
	}
}

// A measurement is taken anew under the word that the file has for it.
func TestRetakeUnderAnotherWord(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	text := "kind: body\nname: Wren\ntaken: 2026-10-01\nunits: cm\nmeasurements:\n  seat: 112 # round the fullest\n  waist: 74\n"
	doc := file.Open("wren.yaml", []byte(text))
	b := recipes.ReadBody(doc, voc)
	got, err := recipes.Retake(doc, b, recipes.Retaking{Measurement: "hip", Value: "113", Day: "2026-11-02"}, voc)
	want := "kind: body\nname: Wren\ntaken: 2026-11-02\nunits: cm\nmeasurements:\n  seat: 113 # round the fullest\n  waist: 74\n" +
		"earlier:\n  - taken: 2026-10-01\n    measurements:\n      hip: 112\nsince:\n  waist: 2026-10-01\n"
	if err != nil || string(got) != want {
		t.Errorf("got\n%s%v, want\n%s", got, err, want)
	}
}
