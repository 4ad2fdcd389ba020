package main

import (
	"encoding/xml"
	"fmt"
	"strings"

	"fitadvisor/recipes"
)

// The results of examples as JUnit XML, which services that run tests read. No
// time is taken, so that the same results are the same bytes.

type junitFile struct {
	XMLName xml.Name `xml:"testsuites"`
	junitCount
	Suites []junitSuite `xml:"testsuite"`
}

type junitSuite struct {
	Name string `xml:"name,attr"`
	junitCount
	Cases []junitCase `xml:"testcase"`
}

type junitCount struct {
	Tests    int `xml:"tests,attr"`
	Failures int `xml:"failures,attr"`
	Errors   int `xml:"errors,attr"`
	Time     int `xml:"time,attr"`
}

type junitCase struct {
	Recipe  string        `xml:"classname,attr"`
	Name    string        `xml:"name,attr"`
	File    string        `xml:"file,attr"`
	Line    int           `xml:"line,attr"`
	Time    int           `xml:"time,attr"`
	Failure *junitMessage `xml:"failure"`
	Error   *junitMessage `xml:"error"`
}

type junitMessage struct {
	Message string `xml:"message,attr"`
	Text    string `xml:",chardata"`
}

// writeJUnit writes the results to a file, which is there whole or not at all.
func (t trial) writeJUnit(d *files, path string) error {
	out := junitFile{}
	for _, f := range t {
		if f.outcomes == nil {
			continue
		}
		s := junitSuite{Name: f.File}
		for i := range f.outcomes {
			s.add(f.Recipe.Name, &f.outcomes[i])
		}
		out.Suites = append(out.Suites, s)
		out.Tests, out.Failures, out.Errors = out.Tests+s.Tests, out.Failures+s.Failures, out.Errors+s.Errors
	}
	text, err := xml.MarshalIndent(out, "", "  ")
	if err != nil {
		return err
	}
	return d.replace(path, append([]byte(xml.Header), append(text, '\n')...), publicly)
}

// add adds an example: one without an answer is an error, one with another than
// expected a failure.
func (s *junitSuite) add(recipe string, o *recipes.Outcome) {
	c := junitCase{Recipe: recipe, Name: o.Example.Name, File: o.Example.At.File, Line: o.Example.At.Start.Line}
	s.Tests++
	switch {
	case o.Err != nil:
		said, hint := noAnswer(o.Err)
		c.Error = &junitMessage{said, hint}
		s.Errors++
	case !o.Passed():
		var lines []string
		for _, r := range o.Results {
			if !r.Met {
				lines = append(lines, fmt.Sprintf("%s: expected %s, got %s", r.What, r.Want, r.Got))
			}
		}
		c.Failure = &junitMessage{lines[0], strings.Join(lines, "\n")}
		s.Failures++
	}
	s.Cases = append(s.Cases, c)
}
