package publish

import (
	"crypto/sha256"
	"embed"
	"encoding/json"
	"fmt"
	"strings"
)

//go:embed notebook
var notebookAssets embed.FS

// Notebook are the files of a folder with the whole page of `advisor page`, whose notebook is in the browser's own storage. The
// engine is one of [WholePage].
//
// The page that a server shows first only fetches sw.js, which then answers whatever is asked of the folder: it gives each request to
// the program, whose files are those of disk.js.
func Notebook(e *Engine) map[string][]byte {
	all := map[string][]byte{
		folder + "engine.wasm.gz": e.Program,
		folder + "wasm_exec.js":   e.Support,
		folder + "notices.txt":    e.Notices,
		folder + "page.css":       []byte((&Site{}).style()),
	}
	for name, at := range map[string]string{"index.html": "", "begin.js": folder, "disk.js": folder, "stay.js": folder} {
		all[at+name] = notebookAsset(name)
	}
	sum := sha256.New()
	var kept []string
	for _, name := range sorted(all) {
		if strings.HasPrefix(name, folder) {
			kept = append(kept, name)
		}
		fmt.Fprintf(sum, "%s %d\n", name, len(all[name]))
		sum.Write(all[name])
	}
	list, _ := json.Marshal(kept) // no error: they are texts
	all["sw.js"] = fmt.Appendf(nil, "const files = %s;\nconst edition = \" %x\";\n%s", list, sum.Sum(nil)[:8], notebookAsset("sw.js"))
	return all
}

func notebookAsset(name string) []byte {
	text, err := notebookAssets.ReadFile("notebook/" + name)
	if err != nil {
		panic(err) // it is embedded
	}
	return text
}
