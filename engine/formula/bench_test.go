package formula

import "testing"

const benched = "body.hip - body.waist < 40 and zone.ease >= inch(2)"

func BenchmarkCompile(b *testing.B) {
	s := testSchema()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Compile(benched, s, Bool); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompileAndFirstRun(b *testing.B) {
	s, e := testSchema(), wren()
	b.ReportAllocs()
	for b.Loop() {
		f, err := Compile(benched, s, Bool)
		if err != nil {
			b.Fatal(err)
		}
		if got, err := f.Bool(e); !got || err != nil {
			b.Fatal(got, err)
		}
	}
}

func BenchmarkRun(b *testing.B) {
	e := wren()
	f, err := Compile(benched, testSchema(), Bool)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if got, err := f.Bool(e); !got || err != nil {
			b.Fatal(got, err)
		}
	}
}

func BenchmarkTrace(b *testing.B) {
	e := wren()
	f, err := Compile(benched, testSchema(), Bool)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if got, _, err := f.Trace(e); got != true || err != nil {
			b.Fatal(got, err)
		}
	}
}

func BenchmarkPutNumber(b *testing.B) {
	s, e := testSchema(), wren()
	k := s.Key("body.hip")
	b.ReportAllocs()
	for b.Loop() {
		e.PutNumber(k, 112.4)
	}
}

const benchedText = "{zone.ease} at the hip is {length(zone.wanted - zone.ease)} less than wanted in {size.name}."

func BenchmarkCompileTemplate(b *testing.B) {
	s := testSchema()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := CompileTemplate(benchedText, s); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRender(b *testing.B) {
	e := wren()
	tm, err := CompileTemplate(benchedText, testSchema())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := tm.Render(e, plain{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRefuseHuge(b *testing.B) {
	s := testSchema()
	huge := make([]byte, 200_000)
	for i := range huge {
		huge[i] = '('
	}
	src := string(huge)
	for b.Loop() {
		if _, err := Compile(src, s, Bool); err == nil {
			b.Fatal("compiled")
		}
	}
}

func BenchmarkRefuseSigns(b *testing.B) {
	s := testSchema()
	signs := make([]byte, 1000)
	for i := range signs {
		signs[i] = '-'
	}
	signs[999] = '1'
	src := string(signs)
	for b.Loop() {
		if _, err := Compile(src, s, Bool); err == nil {
			b.Fatal("compiled")
		}
	}
}
