package main

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"fitadvisor/rules/shape"
)

// types are the types declared in some packages, as engine.Answer.
type types struct {
	declared  map[string]*declared
	constants map[string][]string // texts by their type
	begun     map[string]bool
	problems  []error
}

type declared struct {
	doc string
	is  ast.Expr
}

// read parses packages by their folders, without their tests.
func read(module fs.FS, folders ...string) (*types, error) {
	t := &types{declared: map[string]*declared{}, constants: map[string][]string{}, begun: map[string]bool{}}
	for _, folder := range folders {
		names, err := fs.Glob(module, folder+"/*.go")
		if err != nil {
			return nil, err
		}
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			code, err := fs.ReadFile(module, name)
			if err != nil {
				return nil, err
			}
			f, err := parser.ParseFile(token.NewFileSet(), name, code, parser.ParseComments|parser.SkipObjectResolution)
			if err != nil {
				return nil, err
			}
			for _, d := range f.Decls {
				if g, ok := d.(*ast.GenDecl); ok {
					t.take(path.Base(folder), g)
				}
			}
		}
	}
	return t, nil
}

// take keeps the types and constants of one declaration.
func (t *types) take(pkg string, g *ast.GenDecl) {
	for _, s := range g.Specs {
		switch s := s.(type) {
		case *ast.TypeSpec:
			doc := s.Doc
			if doc == nil {
				doc = g.Doc
			}
			t.declared[pkg+"."+s.Name.Name] = &declared{doc.Text(), s.Type}
		case *ast.ValueSpec:
			of, ok := s.Type.(*ast.Ident)
			if g.Tok != token.CONST || !ok {
				continue
			}
			for _, v := range s.Values {
				if text, ok := v.(*ast.BasicLit); ok && text.Kind == token.STRING {
					word, _ := strconv.Unquote(text.Value) // no error: it was parsed
					t.constants[pkg+"."+of.Name] = append(t.constants[pkg+"."+of.Name], word)
				}
			}
		}
	}
}

// wrong keeps what is wrong with a type.
func (t *types) wrong(format string, args ...any) {
	t.problems = append(t.problems, fmt.Errorf(format, args...))
}

// err is all that was found wrong.
func (t *types) err() error { return errors.Join(t.problems...) }

// shape is what JSON makes of a declared type.
func (t *types) shape(pkg, name string) shape.Shape {
	full := pkg + "." + name
	d := t.declared[full]
	if d == nil {
		t.wrong("no type %s is declared", full)
		return shape.Map()
	}
	if words := t.constants[full]; words != nil {
		return shape.OneOf(words...)
	}
	s, ok := d.is.(*ast.StructType)
	if !ok {
		return t.of(pkg, d.is, full)
	}
	about := sentence(strings.TrimPrefix(d.doc, name+" "))
	if t.begun[full] { // a type within itself: its definition is being written already
		return shape.Map().Named(snake(name), about)
	}
	t.begun[full] = true
	defer delete(t.begun, full)
	var keys []shape.Key
	for _, f := range s.Fields.List {
		if k, shown := t.key(pkg, full, f); shown {
			keys = append(keys, k)
		}
	}
	return shape.Map(keys...).Open().Named(snake(name), about)
}

// key is what JSON makes of a field.
func (t *types) key(pkg, of string, f *ast.Field) (k shape.Key, shown bool) {
	if len(f.Names) != 1 || f.Tag == nil {
		t.wrong("%s: a field without a name of its own in JSON", of)
		return k, false
	}
	tag, _ := strconv.Unquote(f.Tag.Value) // no error: it was parsed
	name, options, _ := strings.Cut(reflect.StructTag(tag).Get("json"), ",")
	if name == "-" {
		return k, false
	}
	where := of + "." + f.Names[0].Name
	about := f.Comment.Text()
	if about == "" {
		t.wrong("%s: nothing is said about it", where)
	}
	_, pointer := f.Type.(*ast.StarExpr)
	omitted := options == "omitempty" || options == "omitzero"
	return shape.Key{Name: name, Shape: t.of(pkg, f.Type, where), About: sentence(about), Needed: !omitted, Null: pointer && !omitted}, true
}

// of is what JSON makes of a type as it is written in a package.
func (t *types) of(pkg string, is ast.Expr, where string) shape.Shape {
	switch is := is.(type) {
	case *ast.StarExpr:
		return t.of(pkg, is.X, where)
	case *ast.ArrayType:
		return shape.List(t.of(pkg, is.Elt, where))
	case *ast.MapType:
		return shape.Map().Rest(t.of(pkg, is.Value, where))
	case *ast.SelectorExpr:
		return t.shape(fmt.Sprint(is.X), is.Sel.Name)
	case *ast.Ident:
		if s, ok := basic[is.Name]; ok {
			return s
		}
		return t.shape(pkg, is.Name)
	}
	t.wrong("%s: no schema is known for a %T", where, is)
	return shape.Map()
}

var basic = map[string]shape.Shape{
	"string":  shape.JSON("string"),
	"bool":    shape.JSON("boolean"),
	"int":     shape.JSON("integer"),
	"float64": shape.JSON("number"),
}

var (
	verb = regexp.MustCompile(`^(is|are) `)
	hump = regexp.MustCompile(`[a-z][A-Z]`)
)

// sentence makes a sentence of a comment, without the verb of a type's.
func sentence(comment string) string {
	s := verb.ReplaceAllString(strings.Join(strings.Fields(comment), " "), "")
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + strings.TrimSuffix(s[size:], ".") + "."
}

// snake writes ZoneAnswer as zone_answer.
func snake(name string) string {
	return strings.ToLower(hump.ReplaceAllStringFunc(name, func(s string) string { return s[:1] + "_" + s[1:] }))
}
