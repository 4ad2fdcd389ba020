package notebook

import (
	"errors"
	"os"
)

// replace writes a file beside, in a folder of the same disk, and puts it into its place at once.
func replace(beside, path string, text []byte) error {
	f, err := os.CreateTemp(beside, "*")
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}
