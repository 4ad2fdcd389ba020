package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"fitadvisor/cmd/advisor/internal/chromium"
	"fitadvisor/cmd/advisor/publish/buyer"
)

// survey has the measurements of soldiers (US Army Anthropometric Survey ANSUR II, 2012), beside the project.
const survey = "../../../shared/data/ansur2_garment.csv"

// columns are its columns by what stands for them here. Its waist lies at the navel and is nobody's natural waist; since only
// bytes are compared that does not matter.
var columns = map[string]string{"bust": "chest_or_bust_cm", "waist": "waist_cm", "hip": "hip_cm", "thigh": "thigh_cm", "neck": "neck_base_cm", "height": "height_cm",
	"inside_leg": "inside_leg_cm", "arm_length": "arm_length_cm", "back_waist_length": "back_waist_length_cm", "head": "head_cm", "trunk": "trunk_cm"}

// sameTypes are the garment types that are asked about, and what the garment measures for each centimetre of the chart, and more.
var sameTypes = []struct {
	name        string
	times, more float64
}{
	{"gathered-skirt", 1, 12}, {"straight-skirt", 1, 5}, {"blouse", 1, 8}, {"leggings", 0.9, 0}, {"knit-tee", 1.05, 0},
	{"wide-trousers", 1, 10}, {"boxy-top", 1, 18}, {"jeans", 1, 1}, {"close-knit-top", 0.95, 0}, {"bodysuit", 0.92, 0},
}

// sameStretches and sameWishes are the cloths and the wishes, one after the other.
var sameStretches, sameWishes = []string{"", "12 %", "30 %", "60 %"}, []string{"", "closer", "roomier"}

// soldiers are real bodies, as they are typed.
func soldiers(t *testing.T, n int) []map[string]string {
	t.Helper()
	text, err := os.ReadFile(survey)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(err)
		}
		t.Skipf("the survey is not here: %v", err)
	}
	lines, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []map[string]string
	for i := range n {
		line, body := lines[1+i*(len(lines)-1)/n], map[string]string{}
		for name, column := range columns {
			if v := line[slices.Index(lines[0], column)]; v != "" {
				body[name] = v + " cm"
			}
		}
		all = append(all, body)
	}
	return all
}

// samePattern is a pattern of a type: eight sizes, 6 cm apart.
func samePattern(name string, times, more float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "kind: pattern\nname: %s\nrecipe: %s\nunits: cm\nsizes: [8, 10, 12, 14, 16, 18, 20, 22]\n", name, name)
	for _, part := range []struct {
		key         string
		times, more float64
	}{{"body", 1, 0}, {"finished", times, more}} {
		b.WriteString(part.key + ":\n")
		for _, row := range []struct {
			name        string
			first, step float64
		}{{"bust", 78, 6}, {"waist", 62, 6}, {"hip", 86, 6}, {"thigh", 50, 3}, {"neck", 34, 1.5}} {
			fmt.Fprintf(&b, "  %s: [", row.name)
			for i := range 8 {
				if i > 0 {
					b.WriteString(", ")
				}
				b.WriteString(strconv.FormatFloat((row.first+row.step*float64(i))*part.times+part.more*row.first/100, 'f', 1, 64))
			}
			b.WriteString("]\n")
		}
	}
	return b.String()
}

// commandLine is what the command line is asked for the same.
func commandLine(file string, q buyer.Asked) []string {
	args := []string{"size", file, "--format", "json", "--units", q.Units, "--today", q.Today}
	for name, value := range q.Body {
		args = append(args, "--"+strings.ReplaceAll(name, "_", "-"), value)
	}
	if q.Stretch != "" {
		args = append(args, "--stretch", q.Stretch)
	}
	if q.Ease != "" {
		args = append(args, "--ease", q.Ease)
	}
	return args
}

// A published page says of real bodies, byte for byte, what the command line says: each garment type with each body of its share,
// in one cloth after the other.
func TestPublishedSaysTheSame(t *testing.T) {
	n := sameBodies
	if testing.Short() {
		n = 50
	}
	bodies := soldiers(t, n)
	server := served(t, published(t))
	t.Chdir(t.TempDir())
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	c := chromium.Window(t, 1280)
	visitPublished(t, c, server.URL+"/quayside-skirt.html")
	began, refused, different, none := time.Now(), 0, 0, 0
	var inBrowser time.Duration
	for k, of := range sameTypes {
		file, text := of.name+".yaml", samePattern(of.name, of.times, of.more)
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		var asked []buyer.Asked
		for i := k; i < len(bodies); i += len(sameTypes) {
			asked = append(asked, buyer.Asked{Body: bodies[i], Units: "cm", Today: demoToday, Stretch: sameStretches[i/len(sameTypes)%4], Ease: sameWishes[i/len(sameTypes)%3]})
		}
		at := time.Now()
		got := inPage(t, c, buyer.Published{Name: file, Text: text}, asked)
		inBrowser += time.Since(at)
		for i, q := range asked {
			want := ""
			var out, said bytes.Buffer
			if code := Main(commandLine(file, q), streams{in: strings.NewReader(""), out: &out, err: &said}); code != exitUsage {
				sum := sha256.Sum256(out.Bytes())
				want = hex.EncodeToString(sum[:])
			} else {
				refused++
			}
			if bytes.Contains(out.Bytes(), []byte(`"recommended": null`)) {
				none++
			}
			if got[i] == want {
				continue
			}
			if different++; different < 4 {
				t.Errorf("%s, %+v: the page says otherwise than the command line\n%s\n%s", file, q, said.String(), firstDifference(out.String(), whole(t, c, q)))
			}
		}
	}
	t.Logf("%d answers, %d refused by both, %d without a size, %d different; %v in the browser, %v in all", len(bodies), refused, none, different, inBrowser.Round(time.Millisecond), time.Since(began).Round(time.Millisecond))
	if refused > len(bodies)/10 || none > len(bodies)/2 {
		t.Errorf("of %d, %d are refused and %d have no size: they show little", len(bodies), refused, none)
	}
}

// inPage asks the worker for all of them, and returns the SHA-256 of each answer; empty where it is refused.
func inPage(t *testing.T, c chromium.Page, p buyer.Published, asked []buyer.Asked) []string {
	t.Helper()
	pattern, _ := json.Marshal(p)
	questions, _ := json.Marshal(asked)
	return chromium.Await[[]string](t, c, fmt.Sprintf(`(async () => {
		await advisor.open(%s);
		const out = [];
		for (const q of %s) {
			try {
				const sum = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(await advisor.json(q)));
				out.push([...new Uint8Array(sum)].map((b) => b.toString(16).padStart(2, "0")).join(""));
			} catch { out.push(""); }
		}
		return out;
	})()`, pattern, questions))
}

// whole is one answer of the page as it is.
func whole(t *testing.T, c chromium.Page, q buyer.Asked) string {
	t.Helper()
	question, _ := json.Marshal(q)
	return chromium.Await[string](t, c, fmt.Sprintf(`advisor.json(%s).catch(String)`, question))
}

// firstDifference is where two texts part.
func firstDifference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d: want %s, got %s", i+1, a[i], b[i])
		}
	}
	return fmt.Sprintf("want %d lines, got %d: %.200s", len(a), len(b), got)
}
