// Package notebook keeps a person's own files: a folder of plain YAML files, one for each body, pattern, cloth, kept
// garment and sewn one, that can be read and changed by hand.
//
// Start with [Book], find a file by its name with [Book.Find], and write with [Book.Save] or [Book.Add]. What is written is
// there whole or not at all, one program at a time; a file that was changed since it was read is not overwritten.
// [Book.Export] puts all files into one archive, [Import] brings them back.
package notebook

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"fitadvisor/explain/diag"
)

// Kind is a kind of file, with the folder it lies in.
type Kind struct {
	Name, Folder string
	Earlier      string // a folder in which earlier versions kept such files, which are still read; empty: none
}

// Kinds are all there are.
var Kinds = []Kind{{"body", "bodies", ""}, {"pattern", "patterns", ""}, {"cloth", "cloths", ""}, {"garment", "garments", ""}, {"sewn", "sewn", "makes"}, {"recipe", "recipes", ""}}

// folders are those that hold files of a kind.
func (k Kind) folders() []string {
	if k.Earlier == "" {
		return []string{k.Folder}
	}
	return []string{k.Folder, k.Earlier}
}

// KindOf returns the kind of a name.
func KindOf(name string) (Kind, bool) {
	i := slices.IndexFunc(Kinds, func(k Kind) bool { return k.Name == name })
	if i < 0 {
		return Kind{}, false
	}
	return Kinds[i], true
}

// Book is a notebook in a folder, which need not be there before something is saved.
type Book struct{ Dir string }

// extension is that of the files that are written.
const extension = ".yaml"

// extensions are those of the files that have a name; an earlier one is not better than a later.
var extensions = []string{extension, ".yml", ".json"}

// Path is where the file of a name is written.
func (b Book) Path(kind Kind, name string) string {
	return filepath.Join(b.Dir, kind.Folder, name+extension)
}

// File is one file of the notebook. Several may have one name.
type File struct{ Name, Path string }

// Files lists the files of a kind in alphabetical order. A folder that is not there holds none.
func (b Book) Files(kind Kind) ([]File, error) {
	if err := b.settle(); err != nil {
		return nil, err
	}
	var files []File
	for _, folder := range kind.folders() {
		entries, err := os.ReadDir(filepath.Join(b.Dir, folder))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("cannot read the notebook: %w", err)
		}
		for _, e := range entries {
			if ext := filepath.Ext(e.Name()); !e.IsDir() && !strings.HasPrefix(e.Name(), ".") && slices.Contains(extensions, ext) {
				files = append(files, File{strings.TrimSuffix(e.Name(), ext), filepath.Join(b.Dir, folder, e.Name())})
			}
		}
	}
	slices.SortStableFunc(files, func(a, b File) int { return strings.Compare(filepath.Base(a.Path), filepath.Base(b.Path)) })
	return files, nil
}

// settle waits for files that are being brought in, and goes on with it where the program that did was stopped.
func (b Book) settle() error {
	if _, err := os.Lstat(filepath.Join(b.Dir, filepath.FromSlash(planFile))); err != nil {
		return nil
	}
	return b.locked(b.Dir, func(*os.Root) error { return nil })
}

// NoNameError says that the notebook has no such file, or several.
type NoNameError struct {
	Kind, Name string
	Files      []string // that have this name, where there are several
	Near       []string // names that may have been meant
	Known      int      // files of the kind
}

func (e *NoNameError) Error() string {
	if len(e.Files) > 0 {
		return fmt.Sprintf("the notebook has several files for the %s `%s`: %s", e.what(), e.Name, strings.Join(e.Files, ", "))
	}
	return fmt.Sprintf("there is no file %s, and no %s of that name in the notebook", e.Name, e.what())
}

// what is the kind as a thing.
func (e *NoNameError) what() string {
	if e.Kind == "sewn" {
		return "sewn garment"
	}
	return e.Kind
}

// Hint names what may have been meant.
func (e *NoNameError) Hint() string {
	switch {
	case len(e.Files) > 0:
		return "name the one you mean by its path, or delete the other"
	case len(e.Near) > 0:
		return diag.Meant(e.Near...)
	case e.Known == 0:
		return "the notebook has no " + e.what() + " yet"
	}
	return "`advisor note list --kind " + e.Kind + "` lists the names"
}

// Find returns the path of the file of a name. Errors: [NoNameError].
func (b Book) Find(kind Kind, name string) (string, error) {
	files, err := b.Files(kind)
	if err != nil {
		return "", err
	}
	var found, near, names []string
	path := ""
	for _, f := range files {
		names = append(names, f.Name)
		switch {
		case f.Name == name:
			path, found = f.Path, append(found, filepath.Base(f.Path))
		case name != "" && strings.HasPrefix(strings.ToLower(f.Name), strings.ToLower(name)):
			near = append(near, f.Name)
		}
	}
	if len(found) == 1 {
		return path, nil
	}
	if len(found) > 1 {
		near = nil
	} else if like := diag.Near(name, names); like != "" && !slices.Contains(near, like) {
		near = append(near, like)
	}
	return "", &NoNameError{kind.Name, name, found, near, len(files)}
}

// longestName is the longest name of a file, in bytes: what file systems allow, less an extension and a number.
const longestName = 200

// CheckName says what is wrong with a name for a file, nil if nothing is.
func CheckName(name string) error {
	odd := strings.ContainsFunc(name, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) && !strings.ContainsRune("-_ ", r)
	})
	if name == "" || name != strings.TrimSpace(name) || strings.HasPrefix(name, "-") || len(name) > longestName || odd {
		return fmt.Errorf("`%s` cannot name a file of the notebook: use letters, digits, spaces and hyphens, as in `%s`", name, Slug(name))
	}
	return nil
}

// longestFile is the longest name of a file with its extension, in bytes.
const longestFile = longestName + 20

// fits tells whether a file of a notebook can have a name, here and on other systems; every name that [CheckName] takes
// can. A number may stand behind a name, an extension behind both.
func fits(name string) bool {
	return utf8.ValidString(name) && name != "" && len(name) <= longestFile && !strings.ContainsAny(name, `/\:*?"<>|`) &&
		!strings.ContainsFunc(name, diag.Odd) && !strings.HasPrefix(name, ".") && !strings.HasSuffix(name, ".") && !strings.HasSuffix(name, " ")
}

// Slug is a name for a file made of a text: its letters and digits, in small letters, with hyphens between words.
func Slug(text string) string {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	slug := strings.Join(words, "-")
	for len(slug) > longestName {
		slug = string([]rune(slug)[:len([]rune(slug))-1])
	}
	if slug == "" {
		return "me"
	}
	return slug
}
