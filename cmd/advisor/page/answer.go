package page

import (
	"html/template"
	"slices"
	"strings"

	"fitadvisor/cmd/advisor/parts"
	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
)

// answer is what the page shows of an answer: the document of engine/report taken apart by its headings, so that each
// part has its place.
type answer struct {
	*engine.Answer
	Problem  string // why there is none
	Brief    report.Brief
	Decision template.HTML // with how sure it is, and what it is about
	Moved    template.HTML // by what is tried
	Order    []sizeView
	Zones    []zoneView
	Cautions []cautionView // that change what is done
	Notes    []cautionView // that only tell
	Parts    []part
	Room     template.HTML // where it is close and where it has room, level by level
	WhyNot   *whyNot
}

// sizeView is one size, in size order.
type sizeView struct {
	engine.SizeAnswer
	Chosen bool
	Near   bool // shown side by side with the first
}

// zoneView is one zone of the first-ranked size, on its scale.
type zoneView struct {
	engine.ZoneAnswer
	Scale template.HTML
	Why   template.HTML
}

type cautionView struct {
	engine.Caution
	Why   template.HTML
	Mends []engine.Mend
}

// part is one headed part of the document.
type part struct {
	ID, Title string
	Body      template.HTML
}

// whyNot is why a size was not chosen, and what would make it win.
type whyNot struct {
	*engine.WhyNot
	Body template.HTML
}

// answer asks, and lays out what came of it; nil: something is missing still.
func (f *form) answer() (*answer, error) {
	a, err := f.ask()
	switch {
	case err != nil:
		return &answer{Problem: capital(err.Error())}, nil
	case a == nil:
		return nil, nil
	}
	v := &answer{Answer: a, Brief: report.NewBrief(a)}
	return v, v.lay(f)
}

func (v *answer) lay(f *form) (err error) {
	a := v.Answer
	if err := v.parts(report.Size(a, nil).Blocks); err != nil {
		return err
	}
	if len(f.tried) > 0 {
		if v.Moved, err = fragment(report.Moved(a, f.triedTexts()).Blocks...); err != nil {
			return err
		}
	}
	for _, m := range a.Missing {
		f.say(note{Field: "m_" + m.Measurement, Text: "helpful for " + m.NeededFor})
	}
	if err := v.flat(f); err != nil {
		return err
	}
	v.order()
	if err := v.zones(); err != nil {
		return err
	}
	if err := v.cautions(f); err != nil {
		return err
	}
	if v.Room, err = room(a); err != nil {
		return err
	}
	return v.whyNot(f)
}

// own are the parts that the page shows in a way of its own.
var own = []string{"Cautions"}

// parts takes the document apart by its headings; the pictures stand with the zones.
func (v *answer) parts(blocks []explain.Block) error {
	title := ""
	var of []explain.Block
	end := func() (err error) {
		if title == "" {
			v.Decision, err = fragment(of...)
			return err
		}
		if slices.Contains(own, title) || len(of) == 0 {
			return nil
		}
		body, err := fragment(of...)
		body = template.HTML(parts.Quoted(parts.HTML(body)))
		v.Parts = append(v.Parts, part{"part-" + strings.ReplaceAll(strings.ToLower(title), " ", "-"), title, body})
		return err
	}
	for _, b := range blocks {
		switch b := b.(type) {
		case explain.Heading:
			if err := end(); err != nil {
				return err
			}
			title, of = string(b), nil
		case explain.Scale:
		default:
			of = append(of, b)
		}
	}
	return end()
}

func (v *answer) order() {
	for _, name := range v.Shown.Sizes {
		i := slices.IndexFunc(v.Sizes, func(s engine.SizeAnswer) bool { return s.Size == name })
		if i >= 0 {
			v.Order = append(v.Order, sizeView{SizeAnswer: v.Sizes[i], Chosen: v.Recommended != nil && v.Recommended.Size == name})
		}
	}
}

func (v *answer) zones() error {
	scales := report.Scales(v.Answer)
	for i, z := range v.Sizes[0].Zones {
		if s, ok := scales[i].(explain.Scale); ok && i < len(scales)-1 {
			s.Legend = nil // below the last there is one for all
			scales[i] = s
		}
		scale, err := drawn(scales[i], scaleWidth)
		if err != nil {
			return err
		}
		why, err := v.why("size", v.Sizes[0].Size, z.Zone)
		if err != nil {
			return err
		}
		v.Zones = append(v.Zones, zoneView{z, scale, why})
	}
	return nil
}

// scaleWidth, in points, is that of a telephone's screen, so that no letter is made smaller there.
const scaleWidth = 250

// drawn is a picture as a part of the page, so many points wide.
func drawn(picture explain.Block, width float64) (template.HTML, error) {
	part, err := parts.Inline(picture, width)
	return template.HTML(part), err
}

// why is a part of the explanation, down to its sources.
func (v *answer) why(id ...string) (template.HTML, error) {
	n := v.Answer.Why.Find(explain.ID(id...))
	if n == nil {
		return "", nil
	}
	return fragment(explain.Tree{Root: inWords(n)})
}

// cautions are told with the changes that silence each.
func (v *answer) cautions(f *form) error {
	mends, err := engine.AskMends(f.request, v.Answer)
	if err != nil {
		return err
	}
	for _, c := range v.Answer.Cautions {
		why, err := v.why("size", v.Sizes[0].Size, "caution", c.ID)
		if err != nil {
			return err
		}
		of := cautionView{Caution: c, Why: why}
		for _, m := range mends {
			if m.Caution == c.ID {
				of.Mends = append(of.Mends, m)
			}
		}
		if c.Severity == engine.Note {
			v.Notes = append(v.Notes, of)
			continue
		}
		v.Cautions = append(v.Cautions, of)
	}
	return nil
}

// room is the picture of where it is close and where it has room.
func room(a *engine.Answer) (template.HTML, error) {
	part, err := parts.Room(a)
	return template.HTML(part), err
}

// whyNot answers why a size was not chosen, where that is asked.
func (v *answer) whyNot(f *form) error {
	asked := f.askedWhyNot()
	if !slices.Contains(v.Shown.Sizes, asked) {
		return nil
	}
	w, err := engine.AskWhyNot(f.request, asked)
	if err != nil {
		return err
	}
	blocks := report.WhyNot(w, "").Blocks
	if !w.Chosen && len(w.Wins) > 0 {
		blocks = blocks[:len(blocks)-1] // each change is a button
	}
	body, err := fragment(blocks...)
	v.WhyNot = &whyNot{w, body}
	return err
}
