package main

import (
	"errors"
	"fitadvisor/explain/diag"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// The exit codes: answered; the answer is no; usage or a file that is wrong.
const (
	exitAnswered = 0
	exitNo       = 1
	exitUsage    = 2
)

// errNo says that the question was answered with no; nothing more is printed.
var errNo = errors.New("the answer is no")

// errReported says that the problem has been printed already.
var errReported = errors.New("reported")

// version is what --version prints.
const version = "0.1.0"

// Main runs one command line and returns the exit code.
func Main(args []string, s streams) int {
	out := &watched{Writer: s.out}
	s.out = out
	s.late = lateFlags{}
	root := newRoot(s)
	root.SetArgs(args)
	s.late.of(root, args)
	err := root.Execute()
	if out.err != nil && (err == nil || errors.Is(err, errNo)) {
		err = &unwritableError{"the result", out.err}
	}
	switch {
	case err == nil:
		return exitAnswered
	case errors.Is(err, errNo):
		return exitNo
	case errors.Is(err, errReported):
		return exitUsage
	default:
		s.fail(err)
		return exitUsage
	}
}

// lateFlags make the flags of a command that would cost every other one its quick start.
type lateFlags map[*cobra.Command]func()

// of makes those of the command that a line asks for, or that the shell completes.
func (l lateFlags) of(root *cobra.Command, args []string) {
	if len(args) > 0 && strings.HasPrefix(args[0], cobra.ShellCompRequestCmd) {
		args = args[1:]
	}
	if c, _, err := root.Find(args); err == nil && l[c] != nil {
		l[c]()
	}
}

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "advisor",
		Short: "Which size to cut, and why",
		Long: "advisor turns a tape measure, a pattern's size chart and a piece of cloth into a size\n" +
			"to cut by, with the reasons. Start with `advisor demo`; then write your own files.",
		Version:       version,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },

		PersistentPreRunE: func(c *cobra.Command, _ []string) error { return noneEmpty(c.Flags()) },
	}
	root.SetFlagErrorFunc(nearFlag)
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(
		newDemo(s),
		newSize(s),
		newWhy(s),
		newPlan(s),
		newCloth(s),
		newFlat(s),
		newMeasure(s),
		newNote(s),
		newPage(s),
		newBatch(s),
		newChart(s),
		newPublish(s),
		newRecipe(s),
		newPattern(s),
		newRule(s),
		newExplain(s),
		newConfig(s),
		newSchema(s),
		newMeasurements(s),
	)
	helped(root, s)
	return root
}

// flagError is about a flag, with the one that was probably meant.
type flagError struct {
	error
	hint string
}

func (e *flagError) Hint() string { return e.hint }

// nearFlag names the flag that is nearest to one that a command does not have.
func nearFlag(c *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return err
	}
	var known []string
	c.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, "--"+f.Name) })
	return &flagError{err, diag.DidYouMean("--"+unknown.GetSpecifiedName(), known, "`"+c.CommandPath()+" --help` lists them all")}
}

// noneEmpty refuses flags that are given and say nothing.
func noneEmpty(flags *pflag.FlagSet) (err error) {
	flags.Visit(func(f *pflag.Flag) {
		said := []string{f.Value.String()}
		if list, ok := f.Value.(pflag.SliceValue); ok {
			said = list.GetSlice()
		}
		if err == nil && slices.ContainsFunc(said, func(s string) bool { return strings.TrimSpace(s) == "" }) {
			err = fmt.Errorf("--%s is empty: say what it is to be, or leave it out", f.Name)
		}
	})
	return err
}
