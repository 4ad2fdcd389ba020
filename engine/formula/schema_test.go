package formula

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/explain/diag"
)

func TestIsName(t *testing.T) {
	for name, want := range map[string]bool{
		"body.hip": true, "body.upper_bust": true, "limit.least_2": true, "a.b": true,
		"": false, "body": false, "body.": false, ".hip": false, "body.hip.left": false,
		"Body.hip": false, "body.Hip": false, "body.2nd": false, "body._x": false, "2.x": false,
		"body.hüfte": false, "body .hip": false, "body.in": false, "not.hip": false, "body.if": false,
	} {
		if IsName(name) != want {
			t.Errorf("%q: want %v", name, want)
		}
	}
}

func TestSchema(t *testing.T) {
	base := NewSchema([]Name{{Name: "zone.ease", Dim: Ease, About: "the ease"}, {Name: "body.hip", Dim: Length, About: "the hip"}})
	s := base.With(Fixed{Name{Name: "limit.least", Dim: Length, About: "the least"}, 5})
	var names []string
	for _, n := range s.Names() {
		names = append(names, n.Name)
	}
	if diff := cmp.Diff([]string{"body.hip", "limit.least", "zone.ease"}, names); diff != "" {
		t.Error(diff)
	}
	if n, ok := s.Lookup("body.hip"); !ok || n.About != "the hip" {
		t.Errorf("got %v, %v", n, ok)
	}
	if _, ok := base.Lookup("limit.least"); ok {
		t.Error("the base schema has the rule's name")
	}
	if got := []string{Length.String(), Ease.String(), Bool.String()}; !cmp.Equal(got, []string{"a length", "an ease", "a condition"}) {
		t.Errorf("got %v", got)
	}
}

func TestSchemaPanics(t *testing.T) {
	hip := Name{Name: "body.hip", Dim: Length, About: ""}
	for name, f := range map[string]func(){
		"formula: \"hip\" has not the form group.name": func() { NewSchema([]Name{{Name: "hip", Dim: Length, About: ""}}) },
		"formula: body.hip has no dimension":           func() { NewSchema([]Name{{Name: "body.hip", Dim: 0, About: ""}}) },
		"formula: body.hip is there twice":             func() { NewSchema([]Name{hip}).With(Fixed{Name: hip}) },
		"formula: body.hip holds a number, not a text": func() { NewEnv(NewSchema([]Name{hip})).SetText("body.hip", "") },
	} {
		func() {
			defer func() {
				if got := recover(); got != name {
					t.Errorf("got %v, want %v", got, name)
				}
			}()
			f()
		}()
	}
}

func TestEnvOfAnotherSchema(t *testing.T) {
	// A name beyond the schema of the Env is still seen by a formula that has it.
	e := NewEnv(NewSchema([]Name{{Name: "body.hip", Dim: Length, About: ""}}))
	e.SetNumber("body.waist", 75)
	f, err := Compile("body.waist == 75", testSchema(), Bool)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := f.Bool(e); !got || err != nil {
		t.Errorf("got %v, %v", got, err)
	}
	// A value of the wrong kind is an error, not a panic.
	e.SetText("body.waist", "75")
	if _, err := f.Bool(e); err == nil {
		t.Error("a text was compared with a number")
	}
}

func TestEnvKnown(t *testing.T) {
	e := wren()
	e.schema = e.schema.With(Fixed{Name{Name: "limit.most", Dim: Length, About: ""}, 10})
	for name, want := range map[string]bool{"limit.most": true, "body.hip": true, "body.upper_bust": false, "limit.least": true} {
		if e.Known(name) != want {
			t.Errorf("%s: want %v", name, want)
		}
	}
}

func TestNearest(t *testing.T) {
	all := []string{"body.bust", "body.hip", "body.upper_bust", "body.waist"}
	for word, want := range map[string]string{
		"body.hip": "body.hip", "body.hpi": "body.hip", "body.hippo": "body.hip", "body.wast": "body.waist",
		"body.uperbust": "body.upper_bust", "body.waistline": "", "x": "", "": "", "bodyhip": "body.hip",
		"body.bist": "body.bust", "body.wiats": "body.waist",
	} {
		if got := diag.Near(word, all); got != want {
			t.Errorf("%q: got %q, want %q", word, got, want)
		}
	}
}

func TestSuggestNamesFewOrNone(t *testing.T) {
	var many []Name
	for c := 'a'; c <= 'm'; c++ {
		many = append(many, Name{Name: "body." + strings.Repeat(string(c), 5), Dim: Length})
	}
	if got := NewSchema(many).suggest("body.x"); got != "" {
		t.Errorf("thirteen names are too many for a hint: %s", got)
	}
	if got := NewSchema(many[:2]).suggest("body.x"); got != "the names of `body` are: body.aaaaa, body.bbbbb" {
		t.Errorf("got %s", got)
	}
}
