package notebook

import (
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// model is a notebook as a person thinks of it: texts by their paths.
type model map[string]string

// free is the first of the names for a new file that nothing has.
func (m model) free(name, extension string) string {
	at := name + extension
	for n := 2; ; n++ {
		if _, taken := m[at]; !taken {
			return at
		}
		at = name + "-" + strconv.Itoa(n) + extension
	}
}

// Whatever is done with a notebook, in any order, it holds what it should: the files of a person, and of the program what it
// could not save.
func TestBookIsItsFiles(t *testing.T) {
	in := quick(t).Dir
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp(in, "")
		if err != nil {
			rt.Fatal(err)
		}
		b, m := Book{filepath.Join(dir, "book")}, model{}
		kind, name, text := rapid.SampledFrom(Kinds[:5]), rapid.SampledFrom([]string{"a", "b", "ä c"}), rapid.StringOfN(rapid.RuneFrom([]rune("x\nä")), 0, 5, -1)
		checked := func(err error, doing string) {
			rt.Helper()
			if err != nil {
				rt.Fatalf("%s: %v", doing, err)
			}
		}
		rt.Repeat(map[string]func(*rapid.T){
			"add": func(rt *rapid.T) {
				k, n, now := kind.Draw(rt, "kind"), name.Draw(rt, "name"), text.Draw(rt, "text")
				at := m.free(k.Folder+"/"+n, extension)
				got, err := b.Add(k, n, []byte(now))
				checked(err, "add")
				if want := strings.TrimSuffix(at[len(k.Folder)+1:], extension); got != want {
					rt.Errorf("it is called %s, not %s", got, want)
				}
				m[at] = now
			},
			"save": func(rt *rapid.T) {
				k, n, now := kind.Draw(rt, "kind"), name.Draw(rt, "name"), text.Draw(rt, "text")
				at := k.Folder + "/" + n + extension
				var was []byte
				if there, ok := m[at]; ok {
					was = []byte(there)
				}
				checked(b.Save(b.Path(k, n), was, []byte(now)), "save")
				m[at] = now
			},
			"save over what was changed": func(rt *rapid.T) {
				k, n, now := kind.Draw(rt, "kind"), name.Draw(rt, "name"), text.Draw(rt, "text")
				at := k.Folder + "/" + n + extension
				err := b.Save(b.Path(k, n), []byte("what never stood there"), []byte(now))
				if changed := new(ChangedError); !errors.As(err, &changed) {
					rt.Errorf("it says %v", err)
				}
				m[m.free(at+unsaved, "")] = now
			},
			"bring": func(rt *rapid.T) {
				files, added, clash := map[string][]byte{}, 0, false
				for range rapid.IntRange(0, 3).Draw(rt, "files") {
					files[kind.Draw(rt, "kind").Folder+"/"+name.Draw(rt, "name")+extension] = []byte(text.Draw(rt, "text"))
				}
				for at, now := range files {
					there, ok := m[at]
					clash = clash || ok && there != string(now)
					if !ok {
						added++
					}
				}
				got, same, err := b.Bring("it", files)
				if taken := new(TakenError); errors.As(err, &taken) != clash || clash != (err != nil) {
					rt.Fatalf("with other versions %v: %v", clash, err)
				}
				if clash {
					return
				}
				if got != added || same != len(files)-added {
					rt.Errorf("%d came and %d were there, not %d and %d", got, same, added, len(files)-added)
				}
				for at, now := range files {
					m[at] = string(now)
				}
			},
			"keep a draft": func(rt *rapid.T) {
				n, now := name.Draw(rt, "name"), []byte(text.Draw(rt, "text"))
				checked(b.KeepDraft(n, now), "draft")
				got, err := b.Draft(n)
				checked(err, "draft")
				if string(got) != string(now) {
					rt.Errorf("the draft is %q, not %q", got, now)
				}
				checked(b.KeepDraft(n, nil), "draft")
			},
			"": func(rt *rapid.T) {
				if _, err := os.Stat(b.Dir); err == nil {
					if diff := cmp.Diff(map[string]string(m), tree(t, b)); diff != "" {
						rt.Fatal(diff)
					}
				}
				archive, err := b.Archive()
				checked(err, "archive")
				files, err := unpack("it", archive)
				checked(err, "unpack")
				if got := slices.Sorted(maps.Keys(files)); !slices.Equal(got, slices.Sorted(maps.Keys(m))) {
					rt.Errorf("the archive has %v", got)
				}
			},
		})
	})
}
