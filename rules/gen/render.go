package main

import (
	"bytes"
	"fmt"
	"go/format"
	"io/fs"
	"reflect"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// goFile is a generated file.
type goFile struct {
	name string
	code []byte
}

// render makes the generated files from the tables and rule files of the folder rules.
func render(folder fs.FS) ([]goFile, error) {
	t, err := readTables(folder)
	if err != nil {
		return nil, err
	}
	shared, err := readRules(folder, engine.NewVocabulary(t.measures, t.limits))
	if err != nil {
		return nil, err
	}
	tables, err := write("data", "*.csv", []string{"fitadvisor/engine"},
		variable{"measures", "are the words of measurements.csv.", t.measures},
		variable{"limits", "are the figures of limits.csv and layers.csv.", t.limits},
		variable{"childSizes", "are those of child_sizes.csv.", t.children},
		variable{"proportions", "are the figures of stand_ins.csv and ratios.csv.", t.proportions},
		variable{"hems", "are the places of hems.csv.", t.hems},
		variable{"sleepwear", "are the figures of sleepwear.csv.", t.sleepwear},
		variable{"populations", "are those of populations.csv, population_measures.csv and population_parts.csv.", t.peoples},
		variable{"synonyms", "are the words of synonyms.csv.", t.synonyms})
	if err != nil {
		return nil, err
	}
	code, err := write("rules", "*.yaml", []string{"fitadvisor/engine", "fitadvisor/explain/diag"},
		variable{"shipped", "are the rules of all files, in the order of the files.", shared})
	return []goFile{{"data/tables_gen.go", tables}, {"shipped_gen.go", code}}, err
}

// readRules reads the rule files, in order; nothing may be wrong with them.
func readRules(folder fs.FS, v *engine.Vocabulary) ([]engine.Rule, error) {
	names, err := fs.Glob(folder, "*.yaml")
	if err != nil {
		return nil, err
	}
	var all []engine.Rule
	var problems diag.List
	for _, name := range names {
		text, err := fs.ReadFile(folder, name)
		if err != nil {
			return nil, err
		}
		doc := file.Open("rules/"+name, text)
		for _, r := range rules.Read(doc, v, rules.AtOnce) {
			plain := *r
			plain.When, plain.Say, plain.Fix, plain.Toile = nil, nil, nil, nil
			if r.Alter != nil {
				alter := engine.Alter{Step: r.Alter.Step, Parts: r.Alter.Parts, Zone: r.Alter.Zone, Settles: r.Alter.Settles}
				for _, a := range r.Alter.Adds {
					alter.Adds = append(alter.Adds, engine.Added{Measure: a.Measure, Text: a.Text})
				}
				plain.Alter = &alter
			}
			all = append(all, plain)
		}
		problems = append(problems, doc.Problems()...)
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return all, nil
}

// variable is one to be written down: what it is, and its value.
type variable struct {
	name, about string
	value       any
}

// write writes variables down as a Go file of a package.
func write(pkg, source string, imports []string, vars ...variable) ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "// Code generated from %s by go generate ./rules; DO NOT EDIT.\n\npackage %s\n\nimport (\n", source, pkg)
	for _, i := range imports {
		fmt.Fprintf(&b, "%q\n", i)
	}
	b.WriteString(")\n")
	for _, v := range vars {
		fmt.Fprintf(&b, "\n// %s %s\nvar %s = %s\n", v.name, v.about, v.name, literal(reflect.ValueOf(v.value), pkg, true))
	}
	return format.Source(b.Bytes())
}

// literal is a value as package pkg writes it, without what is zero; named
// tells whether its type has to be said.
func literal(v reflect.Value, pkg string, named bool) string {
	var parts []string
	switch v.Kind() {
	case reflect.String:
		return strconv.Quote(v.String())
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Field(i); !f.IsZero() {
				parts = append(parts, v.Type().Field(i).Name+": "+literal(f, pkg, true))
			}
		}
	case reflect.Pointer:
		return "&" + literal(v.Elem(), pkg, true)
	case reflect.Slice:
		for i := range v.Len() {
			parts = append(parts, literal(v.Index(i), pkg, false))
		}
	case reflect.Int, reflect.Int64:
		return strconv.FormatInt(v.Int(), 10)
	case reflect.Float64:
		return strconv.FormatFloat(v.Float(), 'g', -1, 64)
	case reflect.Bool:
		return strconv.FormatBool(v.Bool())
	default:
		panic("no literal for a " + v.Type().String())
	}
	name := ""
	if named {
		name = strings.ReplaceAll(v.Type().String(), pkg+".", "")
	}
	if one := name + "{" + strings.Join(parts, ", ") + "}"; len(one) <= 120 && !strings.Contains(one, "\n") {
		return one
	}
	return name + "{\n" + strings.Join(parts, ",\n") + ",\n}"
}
