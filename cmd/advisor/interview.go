package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
	"fitadvisor/explain/text"
)

// interview asks a person, line by line. At a terminal a line can be edited; else lines are read as they come.
type interview struct {
	out   io.Writer
	lines *bufio.Reader
	term  *term.Terminal
	fd    int
}

func newInterview(s streams) *interview {
	i := &interview{out: s.err}
	if f, ok := s.in.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		i.fd = int(f.Fd())
		i.term = term.NewTerminal(struct {
			io.Reader
			io.Writer
		}{s.in, s.err}, "")
		return i
	}
	i.lines = bufio.NewReader(s.in)
	return i
}

// say prints a paragraph.
func (i *interview) say(paragraph string) {
	fmt.Fprintln(i.out)
	_ = text.Render(i.out, &explain.Document{Blocks: []explain.Block{explain.Sentence(paragraph)}}, text.Options{}) // a terminal that fails shows by itself
}

// ask returns a line without its end and the blanks round it. Errors: io.EOF where there is no more, [errEnough].
func (i *interview) ask(prompt string) (string, error) {
	line, err := i.line(prompt)
	line = strings.TrimSpace(line)
	switch {
	case line == "" && err != nil:
		return "", err
	case line == "stop":
		return "", errEnough
	}
	return line, nil
}

func (i *interview) line(prompt string) (string, error) {
	if i.term == nil {
		fmt.Fprint(i.out, prompt)
		line, err := i.lines.ReadString('\n')
		fmt.Fprintln(i.out)
		return line, err
	}
	before, err := term.MakeRaw(i.fd)
	if err != nil {
		return "", err
	}
	defer func() { _ = term.Restore(i.fd, before) }() // nothing can be done if it fails
	i.term.SetPrompt(prompt)
	return i.term.ReadLine()
}

// askUnit asks for a unit until there is one.
func (i *interview) askUnit(prompt string) (quantity.Unit, error) {
	for {
		answer, err := i.ask(prompt)
		if err != nil {
			return "", err
		}
		if u, ok := quantity.UnitMeant(answer); ok {
			return u, nil
		}
		i.say("Please type cm or in.")
	}
}
