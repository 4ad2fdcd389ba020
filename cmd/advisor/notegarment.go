package main

import (
	"errors"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/recipes/advice"
	"fmt"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/explain"
	"fitadvisor/rules/file"
)

// garment is what `note garment` is told.
type garment struct {
	recipe, like, cloth, body string
	set, feels                []string
	dated
}

func newNoteGarment(s streams) *cobra.Command {
	g := &garment{}
	c := &cobra.Command{
		Use:   "garment NAME --recipe RECIPE --cloth CLOTH --body BODY --set hip=...",
		Short: "Note a garment you keep, measured",
		Long: "Measure it washed, closed and not stretched: girths all round, as in waist=78cm, or laid flat\n" +
			"from edge to edge, as in 'hip={flat: 52 cm}'. Say how it feels where it counts. The same\n" +
			"command again changes what it names.",
		Args: oneName("the garment by a name of your own", "advisor note garment sunday-skirt --recipe straight-skirt --set 'hip={flat: 52 cm}'"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := g.begin(s)
			if err != nil {
				return err
			}
			return g.note(d, args[0])
		},
	}
	c.Flags().StringVar(&g.recipe, "recipe", "", "its garment type")
	c.Flags().StringVar(&g.like, "like", "", "the nearest garment type, where none is quite its own")
	c.MarkFlagsMutuallyExclusive("recipe", "like")
	c.Flags().StringVar(&g.cloth, "cloth", "", "what it is made of: a cloth file, or a name in your notebook")
	c.Flags().StringVar(&g.body, "body", "", "whose body it was worn over: a body file, or a name in your notebook")
	c.Flags().StringArrayVar(&g.set, "set", nil, "what it measures: waist=78cm, or 'hip={flat: 52 cm}' (repeatable)")
	c.Flags().StringArrayVar(&g.feels, "feels", nil, "how it feels: hip=tight, hip=right or hip=roomy (repeatable)")
	g.flags(c)
	return c
}

func (g *garment) note(d *files, name string) error {
	book, err := d.kept()
	if err != nil {
		return err
	}
	if err := notebook.CheckName(name); err != nil {
		return err
	}
	kind, _ := notebook.KindOf("garment")
	path := book.Path(kind, name)
	was, err := file.ReadPath(path, file.MaxBytes)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return &question.UnreadableError{Path: shown(path), Err: err}
	}
	e := &file.Edits{Name: shown(path), Text: was, ReadAs: d.Voc.Called}
	if was == nil {
		if missing := g.missing(); missing != "" {
			return fmt.Errorf("%s is not in the notebook yet; to begin it, say %s", name, missing)
		}
		e.Text = []byte("kind: garment\n")
		e.SetText(name, "name")
	}
	if err := g.write(d, e, was == nil); err != nil {
		return err
	}
	d.Garment(advice.File{Doc: file.Open(e.Name, e.Text), Beside: d.Beside(path, "garment")}, nil)
	if err := d.done(); err != nil {
		return err
	}
	if err := book.Save(path, was, e.Text); err != nil {
		return err
	}
	if g.format == "json" {
		return d.s.json(map[string]string{"garment": name})
	}
	doc := &explain.Document{}
	doc.Add(explain.Sentence("Noted as "+name+", in "+shown(path)+":"), explain.Verbatim(string(e.Text)))
	return d.s.show(doc, g.color)
}

// missing names what a garment's file cannot be without.
func (g *garment) missing() string {
	var flags []string
	if g.recipe == "" && g.like == "" {
		flags = append(flags, "its type with --recipe or --like")
	}
	if g.cloth == "" {
		flags = append(flags, "what it is made of with --cloth")
	}
	if len(g.set) == 0 {
		flags = append(flags, "what it measures with --set")
	}
	return strings.Join(flags, ", ")
}

// write sets what is told.
func (g *garment) write(d *files, e *file.Edits, fresh bool) error {
	if g.units != "" && fresh {
		e.Set(g.units, "units")
	}
	g.typed(e)
	cloth, body := d.Cloth(g.cloth), d.Body(g.body)
	if err := d.done(); err != nil {
		return err
	}
	question.ClothText(e, cloth)
	for _, told := range []struct {
		flag, key string
		all       []string
	}{{"set", "measurements", g.set}, {"feels", "feels", g.feels}} {
		for _, text := range told.all {
			level, value, ok := strings.Cut(text, "=")
			if !ok || strings.TrimSpace(value) == "" {
				return fmt.Errorf("cannot read --%s %q: write it as LEVEL=VALUE", told.flag, text)
			}
			e.Set(strings.TrimSpace(value), told.key, d.Word(told.flag, strings.TrimSpace(level)))
		}
	}
	day, err := g.date()
	if err != nil {
		return err
	}
	if len(g.set) > 0 {
		e.Set(day, "measured")
	}
	if body != nil {
		e.SetText(body.Name, "worn_by", "name")
		e.Set(day, "worn_by", "taken")
	}
	return e.Err
}

// typed sets the garment's type, or the nearest one, in the place of the other.
func (g *garment) typed(e *file.Edits) {
	for _, told := range []struct{ key, recipe, instead string }{{"recipe", g.recipe, "like"}, {"like", g.like, "recipe"}} {
		if told.recipe == "" {
			continue
		}
		e.SetText(told.recipe, told.key)
		if file.Open(e.Name, e.Text).Root().Map().Get(told.instead).Exists() {
			e.Remove(told.instead)
		}
	}
}
