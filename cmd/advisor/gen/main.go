// Command gen writes down the JSON Schemas of the answers, as the Go types that
// they are made of say. Run it by `go generate ./cmd/advisor` after every change
// to such a type or to what is said about its fields.
package main

import (
	"fmt"
	"io/fs"
	"os"
	"path"

	"fitadvisor/rules/shape"
)

func main() {
	if err := generate(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// generate works in the folder cmd/advisor, as go generate does.
func generate() error {
	files, err := render(os.DirFS("../.."))
	if err != nil {
		return err
	}
	for name, text := range files {
		if err := os.WriteFile(path.Join("schemas", name), text, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// render makes the schemas of the module in a folder, by file name.
func render(module fs.FS) (map[string][]byte, error) {
	t, err := read(module, "engine", "explain")
	if err != nil {
		return nil, err
	}
	node := t.shape("explain", "Node")
	why := shape.Either(node, shape.Map(
		shape.Need("why_not", t.shape("engine", "WhyNot"), "Why it is not the size asked about."),
		shape.Need("why", node, "The explanation of that size, as a tree."),
	).Open())
	return map[string][]byte{
		"chart.json":        shape.Document("Chart", "What `advisor chart --format json` prints.", t.shape("engine", "Soundness")),
		"chart-change.json": shape.Document("Change of a chart", "What `advisor chart --compare OTHER --format json` prints.", t.shape("engine", "ChartChange")),
		"coverage.json":     shape.Document("Coverage", "What `advisor chart --bodies BODIES --format json` prints.", t.shape("engine", "Coverage")),
		"answer.json":       shape.Document("Answer", "What `advisor size --format json` prints.", t.shape("engine", "Answer")),
		"flat.json":         shape.Document("Pieces laid flat", "What `advisor flat --format json` prints.", t.shape("engine", "Flat")),
		"suitability.json":  shape.Document("Suitability", "What `advisor cloth --format json` prints.", t.shape("engine", "Suitability")),
		"why.json":          shape.Document("Explanation", "What `advisor why --format json` prints.", why),
	}, t.err()
}
