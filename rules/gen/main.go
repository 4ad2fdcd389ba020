// Command gen writes the rules and tables that people edit down as Go, so that
// none of them is read when the program starts. Run it by `go generate ./rules`
// after every change to rules/*.yaml or rules/data/*.csv.
package main

import (
	"fmt"
	"os"
)

func main() {
	if err := generate(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// generate works in the folder rules, as go generate does.
func generate() error {
	files, err := render(os.DirFS("."))
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := os.WriteFile(f.name, f.code, 0o644); err != nil {
			return err
		}
	}
	return nil
}
