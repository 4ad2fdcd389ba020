//go:build unix

package notebook

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The tests here run this program again as another one, with a task.
const taskVariable, bookVariable = "NOTEBOOK_TASK", "NOTEBOOK_DIR"

const many = 1000

func TestMain(m *testing.M) {
	task, ok := tasks[os.Getenv(taskVariable)]
	if !ok {
		os.Exit(m.Run())
	}
	if err := task(Book{os.Getenv(bookVariable)}); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

var tasks = map[string]func(Book) error{
	"add": func(b Book) error {
		for i := range many {
			if _, err := b.Add(sewn, fmt.Sprintf("make-%d", i), text(i)); err != nil {
				return err
			}
		}
		return nil
	},
	"save": func(b Book) error {
		path := b.Path(bodies, "wren")
		for i := 0; ; i++ {
			was, err := os.ReadFile(path)
			if err == nil {
				err = b.Save(path, was, text(i))
			}
			if err != nil {
				return err
			}
		}
	},
	"import": func(b Book) error {
		_, _, err := b.Import(b.Dir + ".zip")
		return err
	},
	"fill": func(b Book) error {
		signal.Ignore(syscall.SIGXFSZ)
		full := syscall.Rlimit{Cur: 1 << 10, Max: 1 << 10}
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &full); err != nil {
			return err
		}
		return b.Save(b.Path(bodies, "wren"), text(1), text(2))
	},
}

// text is a text of several blocks that says whether it is whole.
func text(i int) []byte {
	return []byte(fmt.Sprintf("begins %d\n%send %d\n", i, strings.Repeat("0123456789abcde\n", 500), i))
}

func whole(text []byte) bool {
	var first, last int
	_, err := fmt.Sscanf(string(text), "begins %d\n", &first)
	end := strings.LastIndex(string(text), "end ")
	if err != nil || end < 0 || len(text) < 8000 {
		return false
	}
	_, err = fmt.Sscanf(string(text[end:]), "end %d\n", &last)
	return err == nil && first == last
}

func other(t *testing.T, b Book, task string) *exec.Cmd {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), taskVariable+"="+task, bookVariable+"="+b.Dir)
	return c
}

// Two programs that write a thousand files each, of the same names and at once, lose none and tear none.
func TestTwoAtOnce(t *testing.T) {
	b := quick(t)
	one, two := other(t, b, "add"), other(t, b, "add")
	for _, c := range []*exec.Cmd{one, two} {
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []*exec.Cmd{one, two} {
		if err := c.Wait(); err != nil {
			t.Error(err)
		}
	}
	files := tree(t, b)
	if len(files) != 2*many {
		t.Errorf("%d files, not %d", len(files), 2*many)
	}
	for at, text := range files {
		if !whole([]byte(text)) {
			t.Errorf("%s is torn", at)
		}
	}
}

// A program killed at any instant while it saves leaves the file whole, old or new, and nothing that stays.
func TestKilled(t *testing.T) {
	const times = 200
	b := quick(t)
	path := b.Path(bodies, "wren")
	if err := b.Save(path, nil, text(0)); err != nil {
		t.Fatal(err)
	}
	chance := rand.New(rand.NewPCG(1, 2))
	left := 0
	for range times {
		c := other(t, b, "save")
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(chance.IntN(20_000)) * time.Microsecond)
		if err := c.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = c.Wait() // it was killed
		now, err := os.ReadFile(path)
		if err != nil || !whole(now) {
			t.Fatalf("torn: %q, %v", now, err)
		}
		begun, _ := filepath.Glob(filepath.Join(b.Dir, savingDir, ".*"))
		left += len(begun)
	}
	t.Logf("killed %d times, %d of them while a file was being written", times, left)
	now, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Save(path, now, text(1)); err != nil {
		t.Fatal(err)
	}
	if files := tree(t, b); len(files) != 1 {
		t.Errorf("something was left behind: %d files", len(files))
	}
}

// A program killed at any instant while it imports leaves all or nothing to whoever opens the notebook next.
func TestImportKilled(t *testing.T) {
	const times, files = 200, 40
	dir := quick(t).Dir
	var names []string
	for i := range files {
		names = append(names, fmt.Sprintf("%s/%d.yaml", Kinds[i%len(Kinds)].Folder, i))
	}
	b := Book{filepath.Join(dir, "book")}
	if err := os.Rename(packed(t, names, names, fileMode), b.Dir+".zip"); err != nil {
		archive, err := os.ReadFile(packed(t, names, names, fileMode))
		if err != nil || os.WriteFile(b.Dir+".zip", archive, fileMode) != nil {
			t.Fatal(err)
		}
	}
	chance := rand.New(rand.NewPCG(1, 2))
	all, none, midway := 0, 0, 0
	for range times {
		if err := os.MkdirAll(b.Dir, folderMode); err != nil {
			t.Fatal(err)
		}
		c := other(t, b, "import")
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		if wanted := chance.IntN(files + 20); wanted > 0 { // else it is killed as it begins
			staged(b, wanted)
		}
		time.Sleep(time.Duration(chance.IntN(2000)) * time.Microsecond)
		if err := c.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = c.Wait() // it was killed
		if n := len(tree(t, b)); n > 0 && n != files {
			midway++
		}
		if _, err := b.Files(bodies); err != nil {
			t.Fatal(err)
		}
		found := 0
		for at := range tree(t, b) {
			if !strings.HasPrefix(at, savingDir) {
				found++
			}
		}
		switch found {
		case 0:
			none++
		case files:
			all++
		default:
			t.Fatalf("%d of %d files are there", found, files)
		}
		if err := os.RemoveAll(b.Dir); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("killed %d times, %d of them midway: all %d, none %d", times, midway, all, none)
	if midway == 0 || all == 0 || none == 0 {
		t.Error("the kills were all too early, or all too late")
	}
}

// staged waits until an import has written so many files aside, or after the first
// writes no more. A slow machine may take seconds to begin.
func staged(b Book, n int) {
	seen, last := 0, time.Now()
	for begun := last; time.Since(begun) < 5*time.Second; time.Sleep(50 * time.Microsecond) {
		names, _ := os.ReadDir(filepath.Join(b.Dir, savingDir))
		switch {
		case len(names) >= n && len(names) > 0, seen > 0 && (len(names) < seen || time.Since(last) > 50*time.Millisecond):
			return
		case len(names) > seen:
			seen, last = len(names), time.Now()
		}
	}
}

// Where the disk is full the error says what was not saved, and the old file stands.
func TestFull(t *testing.T) {
	b := Book{t.TempDir()}
	path := b.Path(bodies, "wren")
	if err := b.Save(path, nil, text(1)); err != nil {
		t.Fatal(err)
	}
	said, err := other(t, b, "fill").CombinedOutput()
	if err == nil || string(said) != path+" was not saved: file too large\n" {
		t.Errorf("%s, %v", said, err)
	}
	if now, err := os.ReadFile(path); err != nil || string(now) != string(text(1)) {
		t.Error("the old file is gone", err)
	}
	if left := tree(t, b); len(left) != 1 {
		t.Errorf("something was left behind: %d files", len(left))
	}
}
