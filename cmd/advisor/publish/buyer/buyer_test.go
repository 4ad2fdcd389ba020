package buyer

import (
	"strings"
	"testing"
)

const skirt = "kind: pattern\nname: Quayside skirt\nrecipe: gathered-skirt\nunits: in\nsizes: [16, 18, 20]\nbody: {hip: [42, 44, 46]}\nfinished: {hip: [47, 49, 51]}\n"

func opened(t *testing.T, words map[string]string) *Desk {
	t.Helper()
	d, err := Open(Published{Name: "skirt.yaml", Text: skirt, Words: words})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// What is wrong or missing is said at its field, in words for somebody who never saw a file; the rest is answered.
func TestNotes(t *testing.T) {
	d := opened(t, nil)
	tests := []struct {
		name  string
		asked Asked
		field string
		text  string
		size  string
	}{
		{"answered", Asked{Body: map[string]string{"hip": "44 1/4"}, Units: "in"}, "", "", "18"},
		{"no figure", Asked{Body: map[string]string{"hip": "wide"}, Units: "in"}, "hip", "wide", ""},
		{"no unit", Asked{Body: map[string]string{"hip": "44"}}, "hip", "unit", ""},
		{"nothing that decides", Asked{Body: map[string]string{"height": "66"}, Units: "in"}, "hip", "which is not known", ""},
		{"no stretch", Asked{Body: map[string]string{"hip": "44 1/4"}, Units: "in", Stretch: "much"}, "stretch", "much", ""},
		{"no wish", Asked{Body: map[string]string{"hip": "44 1/4"}, Units: "in", Ease: "much"}, "", "much", ""},
		{"nothing", Asked{Units: "in"}, "", "no body", ""},
		{"no measurement of that name", Asked{Body: map[string]string{"hop": "4"}, Units: "in"}, "", "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			reply, err := d.Ask(tt.asked)
			if err != nil || reply.Size != tt.size || (reply.HTML != "") != (tt.size != "") || (reply.Sheet != "") != (tt.size != "") {
				t.Fatalf("got %v, %+v", err, reply)
			}
			if tt.text == "" {
				return
			}
			if len(reply.Notes) == 0 || reply.Notes[0].Field != tt.field || !strings.Contains(reply.Notes[0].Text, tt.text) || strings.Contains(reply.Notes[0].Text, "`") {
				t.Errorf("got %+v", reply.Notes)
			}
		})
	}
}

// A maker's words go before those of the page, and are escaped.
func TestOwnWords(t *testing.T) {
	reply, err := opened(t, map[string]string{"cut": "<b>Größe</b>"}).Ask(Asked{Body: map[string]string{"hip": "44 1/4"}, Units: "in"})
	if err != nil || !strings.Contains(string(reply.HTML), "&lt;b&gt;Größe&lt;/b&gt;") {
		t.Errorf("got %v:\n%s", err, reply.HTML)
	}
}

func TestServe(t *testing.T) {
	s := &Serve{}
	for _, tt := range []struct{ what, text, wrong string }{
		{"ask", "{}", "no pattern is open yet"}, {"open", "{", "JSON"}, {"open", `{"name": "x.yaml", "text": "kind: pattern\n"}`, "missing"},
		{"ask", "{}", "no pattern is open yet"}, {"open", `{"name": "x.yaml", "text": "` + strings.ReplaceAll(skirt, "\n", `\n`) + `"}`, ""}, {"ask", "x", "invalid"}, {"sing", "{}", "nothing is called"},
	} {
		_, err := s.Do(tt.what, tt.text)
		if (err == nil) != (tt.wrong == "") || err != nil && !strings.Contains(err.Error(), tt.wrong) {
			t.Errorf("%s %s: got %v, want %q", tt.what, tt.text, err, tt.wrong)
		}
	}
	out, err := s.Do("json", `{"body": {"hip": "44 1/4"}, "units": "in"}`)
	if err != nil || !strings.HasPrefix(out, "{\n  \"version\": ") {
		t.Errorf("got %v: %.40s", err, out)
	}
}

// Whatever a page sends is answered or refused, and what is shown of it is no markup of the buyer's.
func FuzzAsk(f *testing.F) {
	d, err := Open(Published{Name: "skirt.yaml", Text: skirt})
	if err != nil {
		f.Fatal(err)
	}
	for _, seed := range [][5]string{{"hip", "44 1/4", "", "", "in"}, {"hip", "<b>44</b>", "5 %", "closer", "cm"}, {"hip", "[44, 45]", "along=3 %", "hip=drawn+1in", "in"},
		{"hip", "{left: 44 in, right: 45 in}", "{", "roomier", ""}, {"a: b\nhip", "- x", "\x00", "=", "furlong"}} {
		f.Add(seed[0], seed[1], seed[2], seed[3], seed[4])
	}
	f.Fuzz(func(t *testing.T, name, value, stretch, ease, units string) {
		reply, err := d.Ask(Asked{Body: map[string]string{name: value}, Stretch: stretch, Ease: ease, Units: units, Today: "2026-11-25"})
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(reply.HTML), "<b>44") {
			t.Errorf("%q is markup in the answer", value)
		}
	})
}
