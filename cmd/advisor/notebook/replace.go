//go:build !windows

package notebook

import "github.com/google/renameio/v2"

// replace writes a file beside, in a folder of the same disk, and puts it into its place at once.
func replace(beside, path string, text []byte) error {
	return renameio.WriteFile(path, text, fileMode, renameio.WithTempDir(beside), renameio.WithStaticPermissions(fileMode))
}
