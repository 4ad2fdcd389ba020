package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"fitadvisor/engine"
)

// An ease that is planned without a pattern is judged as a pattern with that ease is,
// of which body, garment and cloth stand in files.
func TestPlannedEaseAgreesWithPatterns(t *testing.T) {
	t.Chdir(t.TempDir())
	random := rand.New(rand.NewPCG(1, 2))
	ask := func(args ...string) (a engine.Suitability) {
		t.Helper()
		var out, said bytes.Buffer
		if code := Main(append([]string{"cloth", "--format", "json"}, args...), streams{out: &out, err: &said}); code == exitUsage {
			t.Fatalf("%v: %s", args, said.String())
		}
		if err := json.Unmarshal(out.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
		return a
	}
	suits, not := 0, 0
	for range 200 {
		kind := []struct{ recipe, zone, structure string }{{"close-knit-top", "bust", "knit"}, {"leggings", "hip", "knit"}, {"jeans", "hip", "woven"}, {"straight-skirt", "hip", "woven"}}[random.IntN(4)]
		body, ease, stretch := 80+random.IntN(40), random.IntN(45)-30, random.IntN(90)
		// The garment is the body and the ease: 100 cm with -8 % are 92 cm.
		finished := float64(body) * (1 + float64(ease)/100)
		for name, text := range map[string]string{
			"p.yaml": fmt.Sprintf("kind: pattern\nname: p\nrecipe: %s\nunits: cm\nsizes: [one]\nbody: {%s: [%d]}\nfinished: {%s: [%.4f]}\n", kind.recipe, kind.zone, body, kind.zone, finished),
			"c.yaml": fmt.Sprintf("kind: cloth\nname: c\nstructure: %s\nstretch: {across: %d %%}\n", kind.structure, stretch),
		} {
			if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		want := ask("p.yaml", "--cloth", "c.yaml")
		got := ask("--type", kind.recipe, "--ease", fmt.Sprintf("%s=%d%%", kind.zone, ease), "--"+kind.zone, fmt.Sprintf("%dcm", body), "--stretch", fmt.Sprintf("%d%%", stretch))
		same := got.Suits == want.Suits && len(got.Sizes) == 1 && fmt.Sprint(zonesOf(&got)) == fmt.Sprint(zonesOf(&want)) && len(got.MakeItSuit) == len(want.MakeItSuit)
		if !same {
			t.Errorf("%+v, body %d, ease %d %%, stretch %d %%: got %v, %v, want %v, %v", kind, body, ease, stretch, got.Suits, zonesOf(&got), want.Suits, zonesOf(&want))
		}
		// As a share it is the same on any body.
		if any := ask("--type", kind.recipe, "--ease", fmt.Sprintf("%s=%d%%", kind.zone, ease), "--stretch", fmt.Sprintf("%d%%", stretch)); any.Suits != want.Suits {
			t.Errorf("%+v, ease %d %%, stretch %d %%: on any body %v, on one of %d cm %v", kind, ease, stretch, any.Suits, body, want.Suits)
		}
		if want.Suits {
			suits++
		} else {
			not++
		}
	}
	if suits < 40 || not < 40 {
		t.Errorf("%d suit and %d do not", suits, not)
	}
}

// zonesOf are the zones of the only size, in words.
func zonesOf(a *engine.Suitability) (all []string) {
	for _, z := range a.Sizes[0].Zones {
		there := "not given"
		if z.StretchThere != nil {
			there = fmt.Sprint(*z.StretchThere)
		}
		all = append(all, fmt.Sprintf("%s %v %v %v %v %s", z.Zone, z.Body, z.Finished, z.StretchAsked, z.Suits, there))
	}
	return all
}
