package formula

import "testing"

// In the test's values cloth.washed is true.
func TestNever(t *testing.T) {
	e := wren()
	for _, c := range []struct {
		source, varies string
		want           bool
	}{
		{"cloth.washed and body.hip > 0", "", false},
		{"not cloth.washed and body.hip > 0", "", true},
		{"not cloth.washed and body.hip > 0", "cloth.washed", false},
		{"body.hip > 0 and not cloth.washed", "", true},
		{"body.hip > 0 and not cloth.washed", "body.hip", false}, // the left side is run first, and may fail
		{"not cloth.washed or body.hip > 0", "", false},
		{"not (cloth.washed or body.hip > 0)", "", true},
		{"cloth.washed and not cloth.washed", "", true},
		{"body.hip < 0", "", true},
		{"body.hip < 0", "body.hip", false},
		{"body.hip < 0 and body.waist > 0", "body.waist", true},
		{"not known(body.hip)", "", true},
		{"not known(body.hip)", "body.hip", false},
		{"body.hip / 0 < 1", "", false}, // it fails, and says so
	} {
		f, err := Compile(c.source, testSchema(), Bool)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.Never(e, func(name string) bool { return name == c.varies }); got != c.want {
			t.Errorf("%s, %q varying: never = %v, want %v", c.source, c.varies, got, c.want)
		}
	}
}
