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

	"fitadvisor/cmd/advisor/disk"
	"fitadvisor/rules/file"
)

// What an archive may hold.
const (
	manifestName    = "manifest.json"
	manifestVersion = 1
	mostFiles       = 100_000
	mostBytes       = 64 << 20  // of one file; tables beside patterns may be large
	mostTotal       = 256 << 20 // of all files together
)

// zipMark is what an archive begins with.
const zipMark = "PK"

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
	return fmt.Sprintf("%s holds other versions of what is in the notebook: %s", e.Path, e.Files)
}

// Hint says what to do.
func (e *TakenError) Hint() string {
	return "nothing was changed; rename or move away those in the notebook, or import into another one with --notebook"
}

// Export writes an archive of all files, the same for the same files. It returns how many there are, and what else lies in
// the folders and was left out. Errors: [SaveError].
func (b Book) Export(to string) (n int, left []string, err error) {
	err = b.locked(to, func(root *os.Root) error {
		files, others, err := all(root)
		if err != nil {
			return err
		}
		var own disk.Outputs
		for _, at := range slices.Concat(files, others, []string{lockFile}) {
			own.Read(filepath.Join(b.Dir, filepath.FromSlash(at)))
		}
		if err := own.Check(to); err != nil {
			return err
		}
		if old, err := file.ReadPath(to, len(zipMark)); err == nil && !bytes.HasPrefix(old, []byte(zipMark)) {
			return fmt.Errorf("%s is there already, and is no archive: it is not written over; name another file", to)
		}
		n, left = len(files), others
		archive, err := pack(root, files)
		if err != nil {
			return err
		}
		return disk.Replace(to, archive, fileMode)
	})
	return n, left, err
}

// Archive is what [Book.Export] writes. Errors: [SaveError].
func (b Book) Archive() (archive []byte, err error) {
	err = b.locked(b.Dir, func(root *os.Root) error {
		files, _, err := all(root)
		if err != nil {
			return err
		}
		archive, err = pack(root, files)
		return err
	})
	return archive, err
}

// all lists the files of the notebook by their paths in it, and what else lies in its folders.
func all(root *os.Root) (files, others []string, err error) {
	for _, k := range Kinds {
		for _, folder := range k.folders() {
			entries, err := fs.ReadDir(root.FS(), folder)
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				return nil, nil, err
			}
			for _, e := range entries {
				if at := path.Join(folder, e.Name()); e.Type().IsRegular() && local(at) {
					files = append(files, at)
				} else {
					others = append(others, at)
				}
			}
		}
	}
	slices.Sort(files)
	return files, others, nil
}

// local tells whether a path is that of a file in a folder of the notebook.
func local(at string) bool {
	folder, name, ok := strings.Cut(at, "/")
	return ok && slices.ContainsFunc(Kinds, func(k Kind) bool { return slices.Contains(k.folders(), folder) }) && fits(name)
}

// pack puts files into an archive.
func pack(root *os.Root, files []string) ([]byte, error) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	m := manifest{Version: manifestVersion, Files: []listed{}}
	total := 0
	for _, at := range files {
		text, err := file.ReadFile(root.FS(), at, mostBytes)
		if err != nil {
			return nil, err
		}
		if total += len(text); len(text) > mostBytes || total > mostTotal {
			return nil, &largeError{at}
		}
		m.Files = append(m.Files, listed{at, hash(text)})
		if err := add(z, at, text); err != nil {
			return nil, err
		}
	}
	list, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return nil, err
	}
	err = errors.Join(add(z, manifestName, list), z.Close())
	return out.Bytes(), err
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

// largeError says that a file is too large for an archive, or makes all of them too large.
type largeError struct{ at string }

func (e *largeError) Error() string {
	return fmt.Sprintf("with %s the archive would be too large: a file may have %d MB, all together %d MB", e.at, mostBytes>>20, mostTotal>>20)
}

// Hint says what to do.
func (e *largeError) Hint() string { return "put large tables elsewhere, and name them from there" }

// Import takes the files of an archive, all or none, also if it is stopped midway. It returns how many came, and how many
// were there already, just the same. Errors: [ArchiveError], [TakenError], [SaveError].
func (b Book) Import(from string) (added, same int, err error) {
	archive, err := file.ReadPath(from, mostTotal)
	if err != nil {
		return 0, 0, &ArchiveError{from, "it cannot be read"}
	}
	if len(archive) > mostTotal {
		return 0, 0, &ArchiveError{from, fmt.Sprintf("it is larger than %d MB", mostTotal>>20)}
	}
	return b.Take(from, archive)
}

// Take takes the files of an archive that was read, as [Book.Import] does; from says where it comes from.
func (b Book) Take(from string, archive []byte) (added, same int, err error) {
	files, err := unpack(from, archive)
	if err != nil {
		return 0, 0, err
	}
	return b.Bring(from, files)
}

// Bring takes files, each at its path within the notebook, as [Book.Import] does; from says where they come from.
func (b Book) Bring(from string, files map[string][]byte) (added, same int, err error) {
	err = b.locked(b.Dir, func(root *os.Root) error {
		fresh, err := fresh(root, from, files)
		if err != nil {
			return err
		}
		added = len(fresh)
		return bring(root, files, fresh)
	})
	return added, len(files) - added, err
}

// fresh lists the files that the notebook lacks, in order. It fails if another one stands where one belongs.
func fresh(root *os.Root, from string, files map[string][]byte) ([]string, error) {
	var fresh, taken []string
	for at, text := range files {
		there, err := standing(root, at)
		switch {
		case err != nil:
			return nil, err
		case there == nil:
			fresh = append(fresh, at)
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
	var total uint64
	for _, f := range z.File {
		if total += f.UncompressedSize64; f.UncompressedSize64 > mostTotal || total > mostTotal {
			return fails("its files are larger than %d MB together", mostTotal>>20)
		}
	}
	files, why := texts(z)
	if why != "" {
		return fails("%s", why)
	}
	if why := againstManifest(files); why != "" {
		return fails("%s", why)
	}
	return files, nil
}

// texts are those of all files of an archive, or why it is refused.
func texts(z *zip.Reader) (files map[string][]byte, why string) {
	files = map[string][]byte{}
	for _, f := range z.File {
		text, err := read(f)
		switch {
		case f.Name != manifestName && (!local(f.Name) || !f.Mode().IsRegular()):
			return nil, fmt.Sprintf("it holds %q, which belongs into no folder of a notebook", f.Name)
		case files[f.Name] != nil:
			return nil, fmt.Sprintf("it holds %q twice", f.Name)
		case err != nil:
			return nil, fmt.Sprintf("%q in it is damaged", f.Name)
		case len(text) > mostBytes:
			return nil, fmt.Sprintf("%q in it is larger than %d MB", f.Name, mostBytes>>20)
		}
		files[f.Name] = text
	}
	return files, ""
}

// againstManifest takes the manifest out of the files, and says how they differ from what it lists.
func againstManifest(files map[string][]byte) (why string) {
	var m manifest
	if err := json.Unmarshal(files[manifestName], &m); err != nil || m.Version != manifestVersion {
		return fmt.Sprintf("it has no %s that says what is in it", manifestName)
	}
	delete(files, manifestName)
	listed := map[string]bool{}
	for _, l := range m.Files {
		text, there := files[l.Path]
		if !there || hash(text) != l.SHA256 {
			return fmt.Sprintf("%q in it is missing, or not as it was exported", l.Path)
		}
		listed[l.Path] = true
	}
	for at := range files {
		if !listed[at] {
			return fmt.Sprintf("it holds %q, which its %s does not list", at, manifestName)
		}
	}
	return ""
}

// read unpacks one file, no more of it than may be.
func read(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(io.LimitReader(r, min(mostBytes, int64(f.UncompressedSize64))+1))
	if text == nil {
		text = []byte{}
	}
	return text, errors.Join(err, r.Close())
}
