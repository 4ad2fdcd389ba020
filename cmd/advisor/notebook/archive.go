package notebook

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// What an archive may hold.
const (
	manifestName    = "manifest.json"
	manifestVersion = 1
	mostFiles       = 100_000
	mostBytes       = 64 << 20 // of one file; tables beside patterns may be large
)

// manifest lists what is in an archive.
type manifest struct {
	Version int      `json:"version"`
	Files   []listed `json:"files"`
}

// listed is one file of an archive, by its path in the notebook.
type listed struct {
	Path   string `json:"path"`
	SHA256 string `json:"sha256"`
}

// ArchiveError says what is wrong with an archive. Nothing of it was taken.
type ArchiveError struct{ Path, Why string }

func (e *ArchiveError) Error() string {
	return fmt.Sprintf("%s is not taken: %s", e.Path, e.Why)
}

// Hint says what to do.
func (e *ArchiveError) Hint() string { return "nothing in the notebook was changed" }

// TakenError says which files of an archive stand in the notebook with other content. Nothing of the archive was taken.
type TakenError struct{ Path, Files string }

func (e *TakenError) Error() string {
	return fmt.Sprintf("%s holds other versions of what stands in the notebook: %s", e.Path, e.Files)
}

// Hint says what to do.
func (e *TakenError) Hint() string {
	return "nothing was changed; rename or move away those in the notebook, or import into another one with --notebook"
}

// Export writes an archive of all files, the same for the same files. It returns how many there are, and what else lies in
// the folders and was left out. Errors: [SaveError].
func (b Book) Export(to string) (n int, left []string, err error) {
	err = b.locked(to, func() error {
		files, others, err := b.all()
		if err != nil {
			return err
		}
		n, left = len(files), others
		var out bytes.Buffer
		if err := b.pack(&out, files); err != nil {
			return err
		}
		return replace(filepath.Dir(to), to, out.Bytes())
	})
	return n, left, err
}

// all lists the files of the notebook by their paths in it, and what else lies in its folders.
func (b Book) all() (files, others []string, err error) {
	for _, k := range Kinds {
		entries, err := os.ReadDir(filepath.Join(b.Dir, k.Folder))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, nil, err
		}
		for _, e := range entries {
			if at := path.Join(k.Folder, e.Name()); e.Type().IsRegular() && local(at) {
				files = append(files, at)
			} else {
				others = append(others, at)
			}
		}
	}
	slices.Sort(files)
	return files, others, nil
}

// local tells whether a path is that of a file in a folder of the notebook.
func local(at string) bool {
	folder, name, ok := strings.Cut(at, "/")
	return ok && slices.ContainsFunc(Kinds, func(k Kind) bool { return k.Folder == folder }) &&
		!strings.ContainsAny(name, `/\:`) && !strings.HasPrefix(name, ".") && fs.ValidPath(at) && filepath.IsLocal(filepath.FromSlash(at))
}

func (b Book) pack(out io.Writer, files []string) error {
	z := zip.NewWriter(out)
	m := manifest{Version: manifestVersion, Files: []listed{}}
	for _, at := range files {
		text, err := os.ReadFile(filepath.Join(b.Dir, filepath.FromSlash(at)))
		if err != nil {
			return err
		}
		m.Files = append(m.Files, listed{at, hash(text)})
		if err := add(z, at, text); err != nil {
			return err
		}
	}
	list, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return err
	}
	return errors.Join(add(z, manifestName, list), z.Close())
}

func add(z *zip.Writer, name string, text []byte) error {
	w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate})
	if err != nil {
		return err
	}
	_, err = w.Write(text)
	return err
}

func hash(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// Import takes the files of an archive, all or none. It returns how many came, and how many stood there already, just the
// same. Errors: [ArchiveError], [TakenError], [SaveError].
func (b Book) Import(from string) (added, same int, err error) {
	archive, err := os.ReadFile(from)
	if err != nil {
		return 0, 0, &ArchiveError{from, "it cannot be read"}
	}
	files, err := unpack(from, archive)
	if err != nil {
		return 0, 0, err
	}
	err = b.locked(b.Dir, func() error {
		fresh, err := b.fresh(from, files)
		if err != nil {
			return err
		}
		for _, at := range fresh {
			to := filepath.Join(b.Dir, filepath.FromSlash(at))
			if err := b.put(to, files[at]); err != nil {
				return &SaveError{to, err}
			}
			added++
		}
		return nil
	})
	return added, len(files) - added, err
}

// fresh lists the files that the notebook lacks, in order. It fails if another one stands where one belongs.
func (b Book) fresh(from string, files map[string][]byte) ([]string, error) {
	var fresh, taken []string
	for at, text := range files {
		there, err := os.ReadFile(filepath.Join(b.Dir, filepath.FromSlash(at)))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			fresh = append(fresh, at)
		case err != nil:
			return nil, err
		case !bytes.Equal(there, text):
			taken = append(taken, at)
		}
	}
	slices.Sort(fresh)
	if len(taken) > 0 {
		slices.Sort(taken)
		return nil, &TakenError{from, strings.Join(taken, ", ")}
	}
	return fresh, nil
}

// unpack reads an archive and checks it against its manifest: every file is listed once, is what it was, and belongs into
// a folder of the notebook.
func unpack(from string, archive []byte) (map[string][]byte, error) {
	fails := func(why string, args ...any) (map[string][]byte, error) {
		return nil, &ArchiveError{from, fmt.Sprintf(why, args...)}
	}
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		return fails("it is no archive, or a damaged one")
	}
	if len(z.File) > mostFiles {
		return fails("it holds more than %d files", mostFiles)
	}
	files := map[string][]byte{}
	for _, f := range z.File {
		text, err := read(f)
		switch {
		case f.Name != manifestName && (!local(f.Name) || !f.Mode().IsRegular()):
			return fails("it holds %q, which belongs into no folder of a notebook", f.Name)
		case files[f.Name] != nil:
			return fails("it holds %q twice", f.Name)
		case err != nil:
			return fails("%q in it is damaged", f.Name)
		case len(text) > mostBytes:
			return fails("%q in it is larger than %d MB", f.Name, mostBytes>>20)
		}
		files[f.Name] = text
	}
	var m manifest
	if err := json.Unmarshal(files[manifestName], &m); err != nil || m.Version != manifestVersion {
		return fails("it has no %s that says what is in it", manifestName)
	}
	delete(files, manifestName)
	listed := map[string]bool{}
	for _, l := range m.Files {
		text, there := files[l.Path]
		if !there || hash(text) != l.SHA256 {
			return fails("%q in it is missing, or not as it was exported", l.Path)
		}
		listed[l.Path] = true
	}
	for at := range files {
		if !listed[at] {
			return fails("it holds %q, which its %s does not list", at, manifestName)
		}
	}
	return files, nil
}

// read unpacks one file, no more of it than may be.
func read(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if text == nil {
		text = []byte{}
	}
	return text, errors.Join(err, r.Close())
}
