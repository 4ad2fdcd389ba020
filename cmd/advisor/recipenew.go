package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"
	"golang.org/x/term"

	"fitadvisor/cmd/advisor/disk"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
)

// beginning is what `recipe new` is asked, as typed.
type beginning struct {
	title, draft, decides, stretch string
	basedOn, from, to              string
	yes                            bool
	display
}

func newRecipeNew(s streams) *cobra.Command {
	b := &beginning{display: display{format: "text", color: "auto"}}
	c := &cobra.Command{
		Use:   "new NAME",
		Short: "Begin a garment type of your own, in a file to fill in",
		Long: "Writes NAME.yaml, a recipe that can be used as it is. What you do not say is guessed, and each line\n" +
			"with a guess says so. On a terminal it asks first, unless a flag answers or --yes takes the guesses.\n" +
			"A file that is there already is left alone.",
		Args: oneName("the garment type", "advisor recipe new my-culottes --from pattern.yaml"),
		RunE: func(c *cobra.Command, args []string) error { return b.write(s, args[0]) },
	}
	b.command = c
	f := c.Flags()
	f.StringVar(&b.title, "title", "", `what it is called in a sentence, as in "pair of culottes"`)
	f.StringVar(&b.draft, "draft", "", "whom it is drafted for: women, men, children or all")
	f.StringVar(&b.decides, "decides", "", "the body measurement that picks the size, as in hip")
	f.StringVar(&b.stretch, "stretch", "", `what the cloth must give: none, "comfort 10 %" or "needed 25 %"`)
	f.StringVar(&b.basedOn, "based-on", "", "the garment type that all you do not write is taken over from")
	f.StringVar(&b.from, "from", "", "a pattern, a file or a name in your notebook: its rows propose zones, and the ease it was drawn with")
	b.book(c)
	f.StringVarP(&b.to, "output", "o", "", "the file to write, or - to print it (default NAME.yaml)")
	f.BoolVar(&b.yes, "yes", false, "ask nothing, and guess")
	c.MarkFlagsMutuallyExclusive("based-on", "from")
	return c
}

// write makes the file and tells what in it is a guess.
func (b *beginning) write(s streams, name string) error {
	d, err := b.begin(s)
	if err != nil {
		return err
	}
	k, err := b.sketch(d, name)
	if err != nil {
		return err
	}
	if ask := s.terminal(); ask != nil && !b.answered() {
		err := b.ask(&k, d.Voc, ask)
		if err != nil {
			return err
		}
	}
	k.Guess(d.Voc)
	text, guessed := k.File(d.Voc)
	if b.to == "-" {
		_, err = s.out.Write(text)
	} else if err = writeNew(b.to, text); err == nil {
		s.say("wrote %s\n", b.to)
	}
	if err == nil && len(guessed) > 0 {
		lines := make([]string, len(guessed))
		for i, n := range guessed {
			lines[i] = fmt.Sprint(n)
		}
		s.say("guessed, to be looked at: lines %s\n", strings.Join(lines, ", "))
	}
	return err
}

// answered tells whether the flags leave nothing to ask.
func (b *beginning) answered() bool {
	return b.yes || b.title+b.draft+b.decides+b.stretch != ""
}

// sketch takes what the flags say, and refuses what cannot be.
func (b *beginning) sketch(d *files, name string) (recipes.Sketch, error) {
	k := recipes.Sketch{Name: name, BasedOn: b.basedOn, Title: recipes.Given{Text: b.title}}
	if err := k.CheckName(); err != nil {
		return k, err
	}
	if b.to == "" {
		b.to = name + ".yaml"
	}
	if _, err := os.Lstat(b.to); b.to != "-" && err == nil {
		return k, &thereError{b.to}
	}
	if b.basedOn != "" {
		found, err := d.Library.Recipe(b.basedOn, d.Voc)
		if err != nil {
			return k, err
		}
		d.Take(found.Doc)
		k.BasedOn = found.Name
	}
	if b.from != "" {
		k.Pattern = d.Pattern(b.from)
	}
	if err := d.done(); err != nil {
		return k, err
	}
	for _, q := range b.questions(&k, d.Voc) {
		if q.flag == "" {
			continue
		}
		text, err := q.read(q.flag)
		if err != nil {
			return k, fmt.Errorf("--%s: %w", q.name, err)
		}
		q.into.Text = text
	}
	return k, nil
}

// typeQuestion is one thing to be said of a new garment type.
type typeQuestion struct {
	name string // of the flag
	ask  string
	flag string // what the flag says
	into *recipes.Given
	read func(string) (string, error)
}

// questions are all of them, in the order in which they are asked.
func (b *beginning) questions(k *recipes.Sketch, voc *engine.Vocabulary) []typeQuestion {
	return []typeQuestion{
		{"title", "What is it called in a sentence", b.title, &k.Title, readTitle},
		{"draft", "Whom is it drafted for: women, men, children or all", b.draft, &k.Draft, readDraft},
		{"decides", "Which measurement picks the size", b.decides, &k.Decides, func(text string) (string, error) { return readDecides(text, k.Pattern, voc) }},
		{"stretch", "What must the cloth give: none, comfort 10 %, needed 25 %", b.stretch, &k.Stretch, readStretch},
	}
}

func readTitle(text string) (string, error) {
	if strings.ContainsFunc(text, func(r rune) bool { return r < ' ' }) {
		return "", errors.New("a title is one line")
	}
	return text, nil
}

func readDraft(text string) (string, error) {
	choices := []string{"women", "men", "children", "all"}
	if !slices.Contains(choices, text) {
		return "", fmt.Errorf("%q is none of women, men, children, all%s", text, meant(text, choices))
	}
	return text, nil
}

func readDecides(text string, p *engine.Pattern, voc *engine.Vocabulary) (string, error) {
	name, _ := voc.Called(text)
	m := voc.Measure(name)
	switch {
	case m == nil || m.Kind == engine.Garment || m.Kind == engine.Angle:
		return "", errors.New(strings.TrimSuffix(fmt.Sprintf("%q is no measurement of the body; %s", text, voc.DidYouMean(text, voc.BodyNames(), "")), "; "))
	case p != nil && !slices.ContainsFunc(p.Chart[name], func(c engine.Cell) bool { return c.Known }):
		return "", fmt.Errorf("the pattern's chart has no %s", m.Title)
	}
	return name, nil
}

// readStretch reads none, or as in "comfort 10 %".
func readStretch(text string) (string, error) {
	kind, least, _ := strings.Cut(strings.TrimSpace(text), " ")
	if kind == "none" && least == "" {
		return kind, nil
	}
	p, err := quantity.ParsePercent(least)
	if kind != "comfort" && kind != "needed" || err != nil || p < 0 || p > 400 {
		return "", fmt.Errorf("%q is not as in: none, comfort 10 %%, needed 25 %%", text)
	}
	return kind + " " + quantity.FormatPercent(p), nil
}

// meant asks after the word that is near.
func meant(word string, known []string) string {
	return strings.TrimSuffix("; "+diag.DidYouMean(word, known, ""), "; ")
}

// asker asks on a terminal: it shows a question and returns the line that is
// typed, without its end. It fails with io.EOF where the person wants no more.
type asker interface {
	io.Writer
	ReadLine() (string, error)
	SetPrompt(string)
}

// ask puts the questions one after another, again where an answer cannot be. An
// empty answer takes what is guessed.
func (b *beginning) ask(k *recipes.Sketch, voc *engine.Vocabulary, open func() (asker, func())) error {
	terminal, restore := open()
	defer restore()
	questions := b.questions(k, voc)
	if k.BasedOn != "" {
		questions = questions[:1] // the rest is taken over
	}
	for i, q := range questions {
		guessed := *k
		guessed.Guess(voc)
		guess := b.questions(&guessed, voc)[i].into.Text
		for q.into.Text == "" {
			terminal.SetPrompt(q.ask + " [" + guess + "]: ")
			line, err := terminal.ReadLine()
			if err != nil {
				return errors.New("stopped; nothing was written")
			}
			if line = strings.TrimSpace(line); line == "" {
				line = guess
			}
			if q.into.Text, err = q.read(line); err != nil {
				fmt.Fprintf(terminal, "%v\n", err)
			}
		}
	}
	return nil
}

// terminal opens the terminal to ask on, which must be put back afterwards; it is
// nil where nobody is there to answer.
func (s streams) terminal() func() (asker, func()) {
	in, isFile := s.in.(*os.File)
	out, isFileToo := s.err.(*os.File)
	if !isFile || !isFileToo || !isatty.IsTerminal(in.Fd()) || !isatty.IsTerminal(out.Fd()) {
		return nil
	}
	return func() (asker, func()) {
		before, err := term.MakeRaw(int(in.Fd()))
		restore := func() {}
		if err == nil {
			restore = func() { _ = term.Restore(int(in.Fd()), before) }
		}
		return term.NewTerminal(struct {
			io.Reader
			io.Writer
		}{in, out}, ""), restore
	}
}

// thereError says that a file is there already.
type thereError struct{ path string }

func (e *thereError) Error() string { return e.path + " is there already; nothing was written" }

// Hint says how to write elsewhere.
func (e *thereError) Hint() string { return "name another file with -o, or print it with `-o -`" }

// writeNew writes a file that is there whole or not at all, and never in the
// place of another.
func writeNew(path string, text []byte) error {
	switch err := disk.New(path, text, publicly); {
	case errors.Is(err, fs.ErrExist):
		return &thereError{path}
	case err != nil:
		return cannotWrite(path, err)
	}
	return nil
}

// cannotWrite leaves out the file that was tried first.
func cannotWrite(path string, err error) error {
	var tried *fs.PathError
	var linked *os.LinkError
	switch {
	case errors.As(err, &tried):
		err = tried.Err
	case errors.As(err, &linked):
		err = linked.Err
	}
	return &unwritableError{path, err}
}
