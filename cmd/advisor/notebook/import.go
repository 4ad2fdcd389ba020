package notebook

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path"

	"fitadvisor/cmd/advisor/disk"
	"fitadvisor/rules/file"
)

// planFile lists what is to be brought into the notebook. While it is there, all of it will be: whoever opens the notebook
// goes on with it.
const planFile = savingDir + "/import.json"

// move is a file that was written whole, and where it belongs.
type move struct{ From, To string }

// bring puts files into the notebook, all or none: they are written aside, then listed, then moved.
func bring(root *os.Root, files map[string][]byte, order []string) error {
	if len(order) == 0 {
		return nil
	}
	var moves []move
	for _, at := range order {
		from, err := disk.Stage(root, savingDir, files[at], fileMode)
		if err != nil {
			return errors.Join(&SaveError{at, err}, sweep(root))
		}
		moves = append(moves, move{from, at})
	}
	list, err := json.Marshal(moves)
	if err == nil {
		err = disk.Put(root, savingDir, planFile, list, fileMode)
	}
	if err != nil {
		return errors.Join(err, sweep(root))
	}
	return finish(root)
}

// finish brings to an end what a program has begun to bring in. Where that cannot be, it is undone.
func finish(root *os.Root) error {
	list, err := file.ReadFile(root.FS(), planFile, mostBytes)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	var moves []move
	if err == nil {
		err = json.Unmarshal(list, &moves)
	}
	if err != nil {
		return err
	}
	folders := map[string]bool{savingDir: true}
	for _, m := range moves {
		if !disk.Begun(path.Base(m.From)) || path.Dir(m.From) != savingDir || !local(m.To) {
			return errors.New(planFile + " in the notebook is none that this program wrote: look at it, and delete it")
		}
		folders[path.Dir(m.To)] = true
		if err := m.do(root); err != nil {
			return errors.Join(&SaveError{m.To, err}, undo(root, moves))
		}
	}
	for folder := range folders {
		if err := disk.Sync(root, folder); err != nil {
			return err
		}
	}
	return root.Remove(planFile)
}

// do moves a file to its place, if it is not there already.
func (m *move) do(root *os.Root) error {
	if !taken(root, m.From) {
		return nil
	}
	if taken(root, m.To) {
		return fs.ErrExist
	}
	if err := root.MkdirAll(path.Dir(m.To), folderMode); err != nil {
		return err
	}
	return root.Rename(m.From, m.To)
}

// undo takes back what was moved.
func undo(root *os.Root, moves []move) error {
	var err error
	for _, m := range moves {
		if !taken(root, m.From) && taken(root, m.To) {
			err = errors.Join(err, root.Rename(m.To, m.From))
		}
	}
	if err != nil {
		return err // and the next to open the notebook tries again
	}
	return errors.Join(root.Remove(planFile), sweep(root))
}
