package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// No face shows a character that moves a terminal's cursor or turns text round: files that hold one are refused, and what
// stands on the command line is shown escaped.
func TestNamesAreSeen(t *testing.T) {
	atHome(t)
	for _, odd := range []string{"\x1b[31m", "\u202e", "\u0007"} {
		for name, file := range map[string]string{"Wren": "wren.yaml", "Quayside skirt": "quayside-skirt.yaml", "washed linen": "washed-linen.yaml"} {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			quoted, err := json.Marshal(name + odd) // whose escapes are those of YAML
			if err != nil {
				t.Fatal(err)
			}
			changed := strings.Replace(string(text), "name: "+name, "name: "+strings.ReplaceAll(string(quoted), "\u202e", `\u202e`), 1)
			if err := os.WriteFile(file, []byte(changed), 0o600); err != nil {
				t.Fatal(err)
			}
			for _, args := range [][]string{{"size"}, {"size", "--format", "json"}, {"size", "--picture", "odd.svg"}, {"plan"}, {"plan", "-o", "odd.md"}, {"plan", "-o", "odd.html"}, {"plan", "-o", "odd.pdf"}} {
				code, said := ranAs(append(args, "quayside-skirt.yaml", "--body", "wren.yaml", "--cloth", "washed-linen.yaml")...)
				if code != exitUsage || !strings.Contains(said, "error[FA0104]") || strings.Contains(said, odd) {
					t.Errorf("%q in %s, %v: %d, %q", odd, file, args, code, said)
				}
			}
			if err := os.WriteFile(file, text, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		for _, to := range [][]string{{}, {"--to", "csv"}, {"--to", "md"}, {"--to", "html"}, {"-o", "odd.csv", "--to", "csv"}} {
			table := "measurement,8" + odd + ",10\nwaist,26,27\nhip,36,37\n"
			if err := os.WriteFile("chart.csv", []byte(table), 0o600); err != nil {
				t.Fatal(err)
			}
			if code, said := ranAs(append([]string{"chart", "beside.yaml"}, to...)...); code != exitUsage || strings.Contains(said, odd) {
				t.Errorf("%q in a table, %v: %d, %q", odd, to, code, said)
			}
		}
		for _, args := range [][]string{{"--over", "x" + odd + "=1 mm"}, {"--with", "hip=1" + odd}, {"--like", odd}, {"--today", odd}} {
			if _, said := ranAs(append([]string{"size", "quayside-skirt.yaml", "--body", "wren.yaml"}, args...)...); strings.Contains(said, odd) {
				t.Errorf("%q: %q", args, said)
			}
		}
	}
	if found, _ := filepath.Glob("odd.*"); len(found) > 0 {
		t.Errorf("written: %v", found)
	}
}
