package page

import (
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/data"
)

// opened is a page over a notebook with the demo's files, and a browser that was let in.
type opened struct {
	testing.TB
	s       *Server
	site    *httptest.Server
	browser *http.Client
	dir     string
	home    string // the address of the page itself
}

// at is the address of a path of the page.
func (p *opened) at(path string) string { return p.home + strings.TrimPrefix(path, "/") }

func open(t testing.TB) *opened {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "notebook")
	for folder, names := range map[string][]string{"bodies": {"wren"}, "patterns": {"quayside-skirt", "lantern-top"}, "cloths": {"washed-linen", "cotton-jersey"}} {
		if err := os.MkdirAll(filepath.Join(dir, folder), 0o700); err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			text, err := os.ReadFile(filepath.Join("..", "demo", name+".yaml"))
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, folder, name+".yaml"), text, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	p := &opened{TB: t, dir: dir}
	p.start(Options{Files: question.Files{Book: notebook.Book{Dir: dir}, Reader: advice.Reader{Voc: voc}}, Today: func() string { return "2026-11-25" },
		Open: map[string]string{"body": "wren", "pattern": "quayside-skirt", "cloth": "washed-linen"}})
	return p
}

// start serves the page, and has the browser let in.
func (p *opened) start(o Options) {
	p.Helper()
	p.site = httptest.NewUnstartedServer(nil)
	var err error
	if p.s, err = New(o, p.site.Listener.Addr().String()); err != nil {
		p.Fatal(err)
	}
	p.site.Config.Handler, p.home = p.s.Handler(), p.s.Home()
	p.site.Start()
	p.Cleanup(p.site.Close)
	jar, err := cookiejar.New(nil)
	if err != nil {
		p.Fatal(err)
	}
	p.browser = &http.Client{Jar: jar}
	if status, _ := p.ask(p.get(p.s.Once(nil))); status != http.StatusOK {
		p.Fatalf("the page's own address is answered with %d", status)
	}
}

func (p *opened) get(address string) *http.Request {
	p.Helper()
	r, err := http.NewRequest(http.MethodGet, address, nil)
	if err != nil {
		p.Fatal(err)
	}
	return r
}

// post is a form sent by the page itself.
func (p *opened) post(path string, values url.Values) *http.Request {
	p.Helper()
	values.Set("token", p.s.token)
	r, err := http.NewRequest(http.MethodPost, p.at(path), strings.NewReader(values.Encode()))
	if err != nil {
		p.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", p.site.URL)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return r
}

func (p *opened) ask(r *http.Request) (int, string) {
	p.Helper()
	reply, err := p.browser.Do(r)
	if err != nil {
		p.Fatal(err)
	}
	defer reply.Body.Close()
	var b strings.Builder
	if err := reply.Write(&b); err != nil {
		p.Fatal(err)
	}
	return reply.StatusCode, b.String()
}

// demo is the form as it opens on the demo's first garment, the fields left to the files.
func demo() url.Values {
	return url.Values{"units": {"in"}, "body": {"wren"}, "pattern": {"quayside-skirt"}, "cloth": {"washed-linen"}}
}

// The README's skirt: the hip of 44 1/4 in decides, and 49 in of skirt give it 4 3/4 in.
func TestAnswers(t *testing.T) {
	p := open(t)
	status, text := p.ask(p.post("/answer", demo()))
	if status != http.StatusOK || !strings.Contains(text, `data-size="18"`) || !strings.Contains(text, "with 4 3/4 in of ease where 5 in is wanted") {
		t.Errorf("got %d and no size 18:\n%s", status, text)
	}
}

func TestTypedGoesOverTheFile(t *testing.T) {
	p := open(t)
	v := demo()
	v.Set("m_hip", "40 1/4") // 4 in less than in the file: two sizes of 2 in each
	_, text := p.ask(p.post("/answer", v))
	if !strings.Contains(text, `data-size="14"`) {
		t.Errorf("the hip that was typed is not asked with:\n%s", text)
	}
}

// The largest size is drawn for a hip of 46 in. For one of 60 in there is nothing to cut by: only that is said.
func TestNothingBesideThePatternsEnd(t *testing.T) {
	p := open(t)
	v := demo()
	v.Set("m_hip", "60")
	v.Set("m_waist", "50")
	v.Set("m_bust", "56")
	v.Set("m_upper_bust", "53")
	v.Set("m_upper_arm", "17")
	_, text := p.ask(p.post("/answer", v))
	if !strings.Contains(text, "This pattern ends 14 in before you") {
		t.Errorf("it does not say that the pattern ends:\n%s", text)
	}
	for _, other := range []string{"data-caution=", `id="do-pdf"`, `id="do-made"`, `id="do-plan"`} {
		if strings.Contains(text, other) {
			t.Errorf("it shows %s too", other)
		}
	}
}

func TestOnlyThisMachine(t *testing.T) {
	for _, address := range []string{"0.0.0.0:0", ":0", "192.168.1.2:0", "[::]:0", "example.org:80", "127.0.0.1", "127.0.0.1.example.org:0", ""} {
		if l, err := Listen(address); err == nil {
			_ = l.Close()
			t.Errorf("listens at %q", address)
		}
	}
	for _, address := range []string{"127.0.0.1:0", "localhost:0", "127.3.2.1:0"} {
		l, err := Listen(address)
		if err != nil {
			t.Errorf("does not listen at %q: %v", address, err)
			continue
		}
		_ = l.Close()
	}
}

// Whoever is not the page itself in the browser that was let in is refused.
func TestRefuses(t *testing.T) {
	p := open(t)
	for _, c := range []struct {
		name   string
		want   int
		change func(*http.Request)
	}{
		{"the page itself", http.StatusOK, func(*http.Request) {}},
		{"another host", http.StatusMisdirectedRequest, func(r *http.Request) { r.Host = "rebound.example" }},
		{"another port", http.StatusMisdirectedRequest, func(r *http.Request) { r.Host = "127.0.0.1:1" }},
		{"another origin", http.StatusForbidden, func(r *http.Request) { r.Header.Set("Origin", "http://site.example") }},
		{"a form of the page, which tells no origin", http.StatusOK, func(r *http.Request) { r.Header.Set("Origin", "null") }},
		{"a frame of another site without an origin", http.StatusForbidden, func(r *http.Request) {
			r.Header.Set("Origin", "null")
			r.Header.Set("Sec-Fetch-Site", "cross-site")
		}},
		{"no origin, and no word of whose it is", http.StatusForbidden, func(r *http.Request) {
			r.Header.Set("Origin", "null")
			r.Header.Del("Sec-Fetch-Site")
		}},
		{"another port of this machine", http.StatusForbidden, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }},
		{"another site", http.StatusForbidden, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }},
		{"a wrong token", http.StatusForbidden, func(r *http.Request) { r.Body, r.ContentLength = http.NoBody, 0 }},
		{"a browser without the key", http.StatusForbidden, func(r *http.Request) { r.Header.Set("Cookie", p.s.cookie+"=guessed") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := p.post("/answer", demo())
			c.change(r)
			browser := p.browser
			if r.Header.Get("Cookie") != "" {
				browser = http.DefaultClient
			}
			reply, err := browser.Do(r)
			if err != nil {
				t.Fatal(err)
			}
			defer reply.Body.Close()
			if reply.StatusCode != c.want {
				t.Errorf("got %d, want %d", reply.StatusCode, c.want)
			}
		})
	}
}

// read is a file of the notebook.
func (p *opened) read(name string) string {
	p.Helper()
	text, err := os.ReadFile(filepath.Join(p.dir, name))
	if err != nil {
		p.Fatal(err)
	}
	return string(text)
}

// valueOf is the value of a field on a page.
func valueOf(page, id string) string {
	_, rest, _ := strings.Cut(page, `name="`+id+`" value="`)
	value, _, _ := strings.Cut(rest, `"`)
	return value
}

func TestSaves(t *testing.T) {
	p := open(t)
	v := demo()
	_, page := p.ask(p.get(p.home))
	v.Set("do", "save-body")
	v.Set("body_hash", valueOf(page, "body_hash"))
	v.Set("m_hip", "44 3/4")
	if status, text := p.ask(p.post("/", v)); status != http.StatusOK {
		t.Fatalf("got %d:\n%s", status, text)
	}
	if got := p.read("bodies/wren.yaml"); !strings.Contains(got, "hip: 44 3/4") || !strings.Contains(got, "measured_over: everyday bra") {
		t.Errorf("the file has\n%s", got)
	}
}

func TestSavesANewCloth(t *testing.T) {
	p := open(t)
	v := url.Values{"do": {"save-cloth"}, "cloth": {""}, "cloth_hash": {""}, "cloth_name": {"Blue twill"}, "structure": {"woven"}, "across": {"10 cm to 10.5 cm"}}
	if status, text := p.ask(p.post("/", v)); status != http.StatusOK {
		t.Fatalf("got %d:\n%s", status, text)
	}
	want := "kind: cloth\nname: Blue twill\nstructure: woven\nstretch:\n  across: {from: 10 cm, to: 10.5 cm}\n"
	if got := p.read("cloths/blue-twill.yaml"); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// Two tabs have the file open; the second to save is shown both texts, and the file stays.
func TestNeitherTabLosesItsText(t *testing.T) {
	p := open(t)
	_, page := p.ask(p.get(p.home))
	hash := valueOf(page, "body_hash")
	tab := func(hip string) url.Values {
		v := demo()
		v.Set("do", "save-body")
		v.Set("body_hash", hash)
		v.Set("m_hip", hip)
		return v
	}
	if status, _ := p.ask(p.post("/", tab("44 3/4"))); status != http.StatusOK {
		t.Fatal(status)
	}
	status, text := p.ask(p.post("/", tab("45 1/8")))
	if status != http.StatusConflict || !strings.Contains(text, "hip: 44 3/4") || !strings.Contains(text, "hip: 45 1/8") {
		t.Errorf("got %d and not both texts:\n%s", status, text)
	}
	if got := p.read("bodies/wren.yaml"); !strings.Contains(got, "hip: 44 3/4") {
		t.Errorf("the first text is gone:\n%s", got)
	}
	over := tab("45 1/8")
	over.Set("do", "over-body")
	over.Set("body_over", valueOf(text, "body_over"))
	if status, text := p.ask(p.post("/", over)); status != http.StatusOK {
		t.Errorf("got %d:\n%s", status, text)
	}
	if got := p.read("bodies/wren.yaml"); !strings.Contains(got, "hip: 45 1/8") {
		t.Errorf("the second text is not saved over it:\n%s", got)
	}
}

// What is pasted from a spreadsheet has tabs, an empty corner and its own spelling.
func TestTakesAPastedChart(t *testing.T) {
	p := open(t)
	v := url.Values{"units": {"in"}, "body": {"wren"}, "recipe": {"gathered-skirt"}, "pattern_units": {"in"}, "pattern_name": {"Mole skirt"},
		"chart":    {"\t16\t18\t20\r\nWaist\t32\t34\t36\r\nHip\t42\t44\t46\r\n"},
		"finished": {"\t16\t18\t20\nHip\t47\t49\t51"}}
	if _, text := p.ask(p.post("/answer", v)); !strings.Contains(text, `data-size="18"`) {
		t.Errorf("no size 18:\n%s", text)
	}
	v.Set("do", "save-pattern")
	if status, text := p.ask(p.post("/", v)); status != http.StatusOK {
		t.Fatalf("got %d:\n%s", status, text)
	}
	if got := p.read("patterns/mole-skirt.yaml"); !strings.Contains(got, "hip: [42, 44, 46]") {
		t.Errorf("got\n%s", got)
	}
}

func BenchmarkAnswer(b *testing.B) {
	voc, err := data.Vocabulary()
	if err != nil {
		b.Fatal(err)
	}
	dir := b.TempDir()
	for folder, name := range map[string]string{"bodies": "wren", "patterns": "quayside-skirt", "cloths": "washed-linen"} {
		text, err := os.ReadFile(filepath.Join("..", "demo", name+".yaml"))
		if err != nil {
			b.Fatal(err)
		}
		if err := os.MkdirAll(filepath.Join(dir, folder), 0o700); err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, folder, name+".yaml"), text, 0o600); err != nil {
			b.Fatal(err)
		}
	}
	s, err := New(Options{Files: question.Files{Book: notebook.Book{Dir: dir}, Reader: advice.Reader{Voc: voc}}, Today: func() string { return "2026-11-25" }}, "127.0.0.1:1")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		w := httptest.NewRecorder()
		r := httptest.NewRequest(http.MethodPost, "/answer", nil)
		r.PostForm = demo()
		s.fragment(w, r)
		if w.Code != http.StatusOK {
			b.Fatal(w.Body)
		}
	}
}

// The pieces of docs/flat.md: (11 3/8 - 5/8 + 12 - 1 1/4) x 2 = 43 in at the hip of size 14.
func TestPiecesLaidFlat(t *testing.T) {
	p := open(t)
	v := url.Values{"units": {"in"}, "body": {"wren"}, "recipe": {"straight-skirt"}, "pattern_units": {"in"}, "pattern_name": {"Lantern skirt"},
		"chart":  {"\t12\t14\t16\nwaist\t28\t30\t32\nhip\t38\t40\t42"},
		"pieces": {"size: 14\nallowance: 5/8\npieces:\n  - {name: front, on_fold: true, width: {waist: 9 3/8, hip: 11 3/8}, darts: {waist: 1}}\n  - {name: back, copies: 2, width: {waist: 10 1/4, hip: 12}, darts: {waist: 1 1/2}}"}}
	if _, text := p.ask(p.post("/answer", v)); !strings.Contains(text, "(11 3/8 - 5/8 + 12 - 1 1/4) x 2 = 43 in") || !strings.Contains(text, `data-zone="hip"`) {
		t.Errorf("the pieces are not added up:\n%s", text)
	}
	v.Set("do", "save-pattern")
	if status, text := p.ask(p.post("/", v)); status != http.StatusOK {
		t.Fatalf("got %d:\n%s", status, text)
	}
	if got := p.read("patterns/lantern-skirt.yaml"); !strings.Contains(got, "pieces:\n  size: 14\n") || strings.Contains(got, "finished:") {
		t.Errorf("got\n%s", got)
	}
	// What was saved reads as it was typed.
	if _, text := p.ask(p.post("/answer", url.Values{"units": {"in"}, "body": {"wren"}, "pattern": {"lantern-skirt"}})); !strings.Contains(text, `data-pattern="Lantern skirt"`) || !strings.Contains(text, `data-zone="hip"`) {
		t.Errorf("what was saved gives no answer:\n%s", text)
	}
	wrong := url.Values{}
	for id := range v {
		wrong[id] = v[id]
	}
	wrong.Set("pieces", "size: 14\npieces:\n  - {name: front, wide: 3}")
	if _, text := p.ask(p.post("/answer", wrong)); !strings.Contains(text, `data-note="pieces" data-wrong`) || !strings.Contains(text, "Line 3") {
		t.Errorf("what is wrong with the pieces is not told at their field:\n%s", text)
	}
}

// A skirt of 46 in that feels right over a hip of 44 1/4 in has 1 3/4 in of ease.
func TestGoesByAKeptGarment(t *testing.T) {
	p := open(t)
	v := demo()
	for id, value := range map[string]string{"kept_name": "Sunday skirt", "kept_recipe": "gathered-skirt", "kept_structure": "woven", "kept_across": "3 %", "kept_units": "in",
		"kept_m_hip": "23 flat", "kept_feels_hip": "right", "ease": "liked"} {
		v.Set(id, value)
	}
	if _, text := p.ask(p.post("/answer", v)); !strings.Contains(text, "1 3/4 in") {
		t.Errorf("the ease that is liked is not there:\n%s", text)
	}
	v.Set("do", "save-garment")
	if status, text := p.ask(p.post("/", v)); status != http.StatusOK {
		t.Fatalf("got %d:\n%s", status, text)
	}
	if got := p.read("garments/sunday-skirt.yaml"); !strings.Contains(got, "hip: {flat: 23}") || !strings.Contains(got, "name: Wren") {
		t.Errorf("got\n%s", got)
	}
}

// Everything may be left out; what is missing is said where it is missing.
func TestSaysWhatIsMissing(t *testing.T) {
	p := open(t)
	_, text := p.ask(p.post("/answer", url.Values{"units": {"in"}}))
	for _, want := range []string{`data-note="recipe"`, `data-note="chart"`, `data-note="body"`} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s:\n%s", want, text)
		}
	}
	_, text = p.ask(p.post("/answer", url.Values{"units": {"in"}, "name": {"Wren"}, "m_waist": {"29 in"}, "pattern": {"quayside-skirt"}}))
	if !strings.Contains(text, `data-note="m_hip"`) {
		t.Errorf("the hip, by which the size is chosen, is not asked for:\n%s", text)
	}
	v := demo()
	v.Set("m_hip", "44 1/4 ells")
	if _, text := p.ask(p.post("/answer", v)); !strings.Contains(text, `data-note="m_hip" data-wrong`) {
		t.Errorf("what is wrong is not told at its field:\n%s", text)
	}
}

// The lengths include where the hem is to end; an answer that cannot be read is marked at its field.
func TestHem(t *testing.T) {
	p := open(t)
	_, page := p.ask(p.post("/", demo()))
	if !strings.Contains(page, "Where the hem is to end") {
		t.Error("the hem is not asked for")
	}
	typed := demo()
	typed.Set("hem", "at the knee")
	if _, text := p.ask(p.post("/answer", typed)); strings.Contains(text, `data-note="hem"`) || !strings.Contains(text, `data-size="18"`) {
		t.Errorf("a hem at the knee cannot be read: %s", text)
	}
	typed.Set("hem", "somewhere")
	if _, text := p.ask(p.post("/answer", typed)); !strings.Contains(text, `data-note="hem" data-wrong="true"`) {
		t.Errorf("a hem that cannot be read is not told: %s", text)
	}
}

// The pattern that was used last is the first.
func TestPatternsByLastUse(t *testing.T) {
	p := open(t)
	first := func() string { return p.s.form(nil).recent("pattern")[0].Name }
	before := first()
	for _, name := range []string{"lantern-top", "quayside-skirt"} {
		p.ask(p.post("/new", url.Values{"pattern": {name}}))
		if got := first(); got != name {
			t.Errorf("after %s was opened the first is %s, and %s before", name, got, before)
		}
	}
}

// What was changed after cutting is proposed at the next pattern: yes asks for that room, no leaves it out.
func TestProposesAgain(t *testing.T) {
	p := open(t)
	p.sewnBefore()
	v := demo()
	v.Set("do", "redraw")
	status, page := p.ask(p.post("/", v))
	const question = "after cutting you changed the hip, “taken in 1 1/2 in”. Again, 3 1/2 in of room at the hip?"
	if !strings.Contains(page, question) || !strings.Contains(page, `name="again" value="hip=3 1/2 in"`) {
		t.Fatalf("%d: it is not proposed:\n%s", status, page)
	}
	v.Set("again", "hip=3 1/2 in")
	if _, page := p.ask(p.post("/", v)); strings.Contains(page, question) || !strings.Contains(page, `name="ease.hip" value="3 1/2 in"`) {
		t.Error("said yes to, it is not asked for")
	}
	v.Del("again")
	v.Set("again_no", "hip")
	if _, page := p.ask(p.post("/", v)); strings.Contains(page, question) || !strings.Contains(page, `name="ease.hip" value=""`) {
		t.Error("said no to, it is there still")
	}
}

// sewnBefore puts a skirt into the notebook that was sewn for Wren and taken in.
func (p *opened) sewnBefore() {
	p.Helper()
	if err := os.MkdirAll(filepath.Join(p.dir, "sewn"), 0o700); err != nil {
		p.Fatal(err)
	}
	p.put("sewn/first-skirt.yaml", "kind: sewn\nname: First skirt\nmade: 2026-05-01\npattern: Quayside skirt\nmaker: Tern Lane\nrecipe: gathered-skirt\nbody: {name: Wren}\nsize: 18\n"+
		"ease: {hip: 5 in}\nfinished: {hip: 49 in}\noutcome: {changed: {hip: taken in 1 1/2 in}}\n")
}

// Pieces that are filled in field by field are those of docs/flat.md: (11 3/8 - 5/8 + 12 - 1 1/4) x 2 = 43 in at the hip.
func TestPiecesFilledIn(t *testing.T) {
	p := open(t)
	v := url.Values{"units": {"in"}, "body": {"wren"}, "recipe": {"straight-skirt"}, "pattern_units": {"in"}, "chart": {"\t12\t14\t16\nwaist\t28\t30\t32\nhip\t38\t40\t42"},
		"piece.size": {"14"}, "piece.allowance": {"5/8"}, "piece.front.cut": {""}, "piece.front.width.waist": {"9 3/8"}, "piece.front.width.hip": {"11 3/8"}, "piece.front.darts.waist": {"1"},
		"piece.back.width.waist": {"10 1/4"}, "piece.back.width.hip": {"12"}, "piece.back.darts.waist": {"1 1/2"}}
	if _, text := p.ask(p.post("/answer", v)); !strings.Contains(text, "(11 3/8 - 5/8 + 12 - 1 1/4) x 2 = 43 in") {
		t.Errorf("the pieces are not added up:\n%s", text)
	}
	v.Set("piece.back.width.hip", "wide")
	if _, text := p.ask(p.post("/answer", v)); !strings.Contains(text, `data-note="pieces" data-wrong`) {
		t.Error("what is wrong is not said")
	}
}
