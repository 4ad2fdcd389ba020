package recipes

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// units reads `units:` for the bare numbers beneath it.
func (r *reader) units(v file.Value) quantity.Unit {
	r.setUnits("")
	if !v.Exists() {
		return ""
	}
	u, err := quantity.ParseUnit(v.Text())
	var wrong *quantity.Error
	if errors.As(err, &wrong) {
		v.Problem(diag.Code(wrong.Code), wrong.Summary, wrong.Hint)
		u = quantity.Cm // so that not every bare number is a problem too
	}
	r.setUnits(u)
	return u
}

// ReadBody takes a body file apart. Problems are left in the doc.
func ReadBody(doc *file.Doc, voc *engine.Vocabulary) *engine.Body {
	r := &reader{doc, voc}
	if m := r.whole("body"); m != nil {
		b := r.body(m)
		tellSlips(doc, b, voc, "")
		return b
	}
	return nil
}

// body reads a body, from a file of its own or from within another.
func (r *reader) body(m *file.Map) *engine.Body {
	m.Get("kind").OneOf("body")
	b := &engine.Body{Name: m.Get("name").Text()}
	b.Taken, _ = m.Get("taken").Date()
	b.Units = r.units(m.Get("units"))
	b.MeasuredOver = m.Get("measured_over").Text()
	b.MeasuredBy, _ = m.Get("measured_by").OneOf("self", "someone else")
	b.Age = r.age(m.Get("age"))
	r.posture(m.Get("posture"))
	b.Measurements, b.MeasurementsAt = r.measurements(m.Need("measurements")), m.KeyRange("measurements")
	b.Since = r.since(m.Get("since"))
	for _, v := range m.Get("earlier").Items() {
		b.Earlier = append(b.Earlier, r.earlier(v))
	}
	slices.SortStableFunc(b.Earlier, func(s, t engine.EarlierMeasurements) int { return cmp.Compare(t.Taken, s.Taken) })
	b.Alterations = r.alterations(m.Get("alterations"))
	b.Wanted = r.wanted(m.Get("wanted"), b.Units)
	m.Close("a body file")
	return b
}

// posture reads how the body was measured. What is taken seated has names of its own, so a whole body that was is refused.
func (r *reader) posture(v file.Value) {
	if p, _ := v.OneOf("standing", "seated"); p == "seated" {
		v.Problem(seatedBody, "what was measured seated is not used as if it were taken standing", "measure standing and leave the line out; a garment type that is cut for sitting declares what is taken seated under other names, such as `seated_hip`")
	}
}

// since reads the days of measurements that were not taken on the day of the others.
func (r *reader) since(v file.Value) map[string]string {
	out := map[string]string{}
	m := r.byMeasure(v)
	for _, k := range m.Keys() {
		day, dated := m.Get(k.Text()).Date()
		if name, ok := r.measure(k); ok && dated {
			out[name] = day
		}
	}
	return out
}

// earlier reads what was measured on an earlier day.
func (r *reader) earlier(v file.Value) engine.EarlierMeasurements {
	m := v.Map()
	var t engine.EarlierMeasurements
	t.Taken, _ = m.Need("taken").Date()
	t.MeasuredOver = m.Get("measured_over").Text()
	t.Measurements = r.measurements(m.Need("measurements"))
	m.Close("earlier measurements")
	return t
}

func (r *reader) measurements(v file.Value) map[string]engine.Measurement {
	out := map[string]engine.Measurement{}
	m := r.byMeasure(v)
	angles := map[string]file.Value{}
	for _, k := range m.Keys() {
		v := m.Get(k.Text())
		switch name, ok := r.measure(k); {
		case !ok || !v.Exists():
		case r.voc.Measure(name).Kind == engine.Angle:
			angles[name] = v
		default:
			out[name] = r.measurement(v)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(angles)) {
		out[name] = r.angle(angles[name], out[shoulderLength])
	}
	return out
}

// measurement reads one measurement: one reading, several, or left and right.
func (r *reader) measurement(v file.Value) engine.Measurement {
	t := engine.Measurement{At: v.Range()}
	if !v.IsMap() {
		t.Readings = r.readings(v)
		return t
	}
	m := v.Map()
	t.Left, t.Right = r.readings(m.Get("left")), r.readings(m.Get("right"))
	if len(t.Left)+len(t.Right) == 0 {
		v.Problem(file.Missing, "neither a left nor a right reading", "as in {left: 12, right: 12 1/4}")
	}
	m.Close("a measurement of both sides")
	return t
}

// age reads years, or months of a small child.
func (r *reader) age(v file.Value) *float64 {
	if !v.Exists() {
		return nil
	}
	number, unit, _ := strings.Cut(strings.TrimSpace(v.Text()), " ")
	years, err := strconv.ParseFloat(number, 64)
	switch unit {
	case "", "year", "years":
	case "month", "months":
		years /= 12
	default:
		err = strconv.ErrSyntax
	}
	if err != nil || !(years >= 0 && years <= 130) {
		v.Problem(badAge, "expected an age, got `"+v.Text()+"`", "in years, as in `age: 6`, or in months, as in `age: 18 months`")
		return nil
	}
	return &years
}

func (r *reader) readings(v file.Value) []engine.Reading {
	var out []engine.Reading
	var before file.Value
	items := v.Each()
	n, most := 0, r.voc.Limits.MostReadings
	beyond := func(n int) bool {
		if n > most {
			v.Problem(tooMany, fmt.Sprintf("there are %d readings; at most %d are read", n, most), "write their mean")
		}
		return n > most
	}
	if beyond(len(items)) {
		return nil
	}
	if v.IsList() && len(items) == 0 {
		v.Problem(file.Missing, "there is no reading in the brackets", "write one, as in [98 cm], or leave the line out")
	}
	for _, item := range items {
		last := before
		if before = item; item.Touches(last) {
			item.Problem(readingsApart, "`"+last.Text()+","+item.Text()+"` in brackets is two readings", commaHint(last, item))
			continue
		}
		found, _ := item.Readings()
		n += len(found)
		for _, read := range found {
			switch {
			case read.Length <= 0:
				item.Problem(belowNothing, "a measurement is more than nothing, got `"+read.Text+"`", "measure again, or leave the line out")
			case len(out) > 0 && r.tooFarApart(read.Length, out[0].Length):
				item.Problem(readingsApart, "`"+out[0].Text+"` and `"+read.Text+"` cannot be two readings of one measurement", "measure again; a decimal comma in brackets wants quotes, as in ['74,5', 75]")
			default:
				out = append(out, engine.Reading(read))
			}
		}
	}
	beyond(n)
	return out
}

// commaHint says how to write what a comma without a space may mean.
func commaHint(a, b file.Value) string {
	return "write a decimal comma in quotes, as in ['" + a.Text() + "," + b.Text() + "'], or two readings with a space, as in [" + a.Text() + ", " + b.Text() + "]"
}

// tooFarApart tells a slip of the pen from readings that merely differ.
func (r *reader) tooFarApart(a, b quantity.Length) bool {
	return float64(max(a, b)-min(a, b)) > r.voc.Limits.ReadingsApart*float64(max(a, b))
}

// A shoulder slopes along its length.
const (
	shoulderLength = "shoulder_length"
	shoulderSlope  = "shoulder_slope"
)

// angle reads at which angle a shoulder falls, or the angles of both sides.
func (r *reader) angle(v file.Value, shoulder engine.Measurement) engine.Measurement {
	t := engine.Measurement{At: v.Range()}
	if !v.IsMap() {
		t.Degrees = r.slope(v, max(shoulder.Sides()))
		return t
	}
	m := v.Map()
	onLeft, onRight := shoulder.Sides()
	left, right := r.slope(m.Need("left"), onLeft), r.slope(m.Need("right"), onRight)
	t.Degrees, t.SidesApart = (left+right)/2, left-right
	m.Close("an angle of both sides")
	return t
}

// slope reads how a shoulder falls: how far over its length, or at which angle.
func (r *reader) slope(v file.Value, along quantity.Length) float64 {
	if drop, err := quantity.ParseLength(v.Text(), ""); err == nil && v.IsText() {
		degrees, ok := engine.SlopeOf(drop, along)
		switch {
		case ok && degrees >= leastDegrees && degrees <= mostDegrees:
			return degrees
		case along == 0:
			v.Problem(badAngle, "a drop of `"+v.Text()+"` says how steep the shoulder is only beside its length", "add `shoulder_length:`, or write the angle, as in `22 degrees`")
		default:
			v.Problem(badAngle, "a shoulder of this length cannot fall by `"+v.Text()+"`", "measure both again")
		}
		return 0
	}
	d := r.degrees(v)
	if _, err := strconv.ParseFloat(v.Text(), 64); err == nil && d > 0 && d < r.voc.Limits.LeastSlope {
		v.Problem(badAngle, "`"+v.Text()+"` may be how far the shoulder falls, or an angle", "write `"+v.Text()+" cm`, `"+v.Text()+" in` or `"+v.Text()+" degrees`")
	}
	return d
}

// alterations reads what a person always alters: how much, or as much as the
// rule says.
func (r *reader) alterations(v file.Value) map[string]engine.Usually {
	if !v.Exists() {
		return nil
	}
	out := map[string]engine.Usually{}
	m := v.Map()
	for _, k := range m.Keys() {
		v := m.Need(k.Text())
		if !rules.IsID(k.Text()) {
			k.Problem(badAlteration, "`"+k.Text()+"` is no name of an alteration", "they are small letters with dashes between, as in `sway-back`: `advisor rule list` has them all")
			continue
		}
		u := engine.Usually{At: k.Range()}
		switch text := v.Text(); {
		case text == "yes" || text == "true":
		case text == "no" || text == "false":
			continue
		default:
			l, ok := v.Length()
			if !ok {
				continue
			}
			u.Amount = &l
		}
		out[k.Text()] = u
	}
	return out
}

// wanted reads how long a person wants garments: a length of the garment, or where on
// the body it is to end.
func (r *reader) wanted(v file.Value, units quantity.Unit) map[string]engine.WantedLength {
	if !v.Exists() {
		return nil
	}
	out, m := map[string]engine.WantedLength{}, v.Map()
	for _, name := range r.voc.HemLengths() {
		v := m.Get(name)
		if !v.Exists() {
			continue
		}
		if w, ok := r.wantedLength(name, v, units); ok {
			out[name] = w
		}
	}
	m.Close("`wanted`")
	return out
}

func (r *reader) wantedLength(name string, v file.Value, units quantity.Unit) (w engine.WantedLength, ok bool) {
	words := strings.Fields(strings.ToLower(v.Text()))
	i := slices.IndexFunc(words, func(word string) bool { return slices.Contains([]string{"at", "above", "below"}, word) })
	places := r.voc.Places(name)
	named := slices.ContainsFunc(places, func(p string) bool { return strings.HasSuffix(strings.Join(words, " "), p) })
	if i < 0 && !named {
		w.Length, ok = v.Length()
		return w, ok
	}
	place := strings.TrimPrefix(strings.Join(words[i+1:], " "), "the ")
	if i < 0 || !slices.Contains(places, place) || (words[i] == "at") != (i == 0) {
		v.Problem(badPlace, "cannot read where it is to end: `"+v.Text()+"`", "write a length, or as in `5 cm above the "+places[len(places)-1]+"` or `at the "+places[0]+"`; there are "+strings.Join(places, ", "))
		return w, false
	}
	w.Place = "the " + place
	if i == 0 {
		return w, true
	}
	l, err := quantity.ParseLength(strings.Join(words[:i], " "), units)
	if err != nil {
		v.Problem(badPlace, "cannot read how far "+words[i]+" the "+place+" it is to end: `"+v.Text()+"`", "write a length with its unit, as in `5 cm "+words[i]+" the "+place+"`")
		return w, false
	}
	if w.Length = l; words[i] == "above" {
		w.Length = -l
	}
	return w, true
}

// leastDegrees and mostDegrees are between which an angle is taken for one.
const leastDegrees, mostDegrees = -10, 60

func (r *reader) degrees(v file.Value) float64 {
	text := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(v.Text(), "degrees"), "°"))
	d, err := strconv.ParseFloat(text, 64)
	if v.Exists() && (err != nil || !(d >= leastDegrees && d <= mostDegrees)) {
		v.Problem(badAngle, "expected an angle in degrees, got `"+v.Text()+"`", "as in `22` or `22 degrees`")
		return 0
	}
	return d
}

// UnknownAlterations finds what a list of a body or a toile names and no rule alters.
func UnknownAlterations(list map[string]engine.Usually, all ...[]*engine.Rule) diag.List {
	at := map[string]diag.Range{}
	for id, u := range list {
		at[id] = u.At
	}
	return unknownAlterations(at, all)
}

// unknownAlterations finds the ids by which no rule alters.
func unknownAlterations(at map[string]diag.Range, all [][]*engine.Rule) diag.List {
	var ids []string
	for _, r := range slices.Concat(all...) {
		if r.Alter != nil {
			ids = append(ids, r.ID)
		}
	}
	slices.Sort(ids)
	var found diag.List
	for _, id := range slices.Sorted(maps.Keys(at)) {
		if !slices.Contains(ids, id) {
			found = append(found, diag.Diagnostic{Severity: diag.Error, Code: badAlteration, Range: at[id],
				Summary: "no alteration is called `" + id + "`", Hint: diag.Among(id, ids)})
		}
	}
	return found
}

// ReadCloth takes a cloth file apart. Problems are left in the doc.
func ReadCloth(doc *file.Doc, voc *engine.Vocabulary) *engine.Cloth {
	r := &reader{doc, voc}
	if m := r.whole("cloth"); m != nil {
		return r.cloth(m)
	}
	return nil
}

// cloth reads a cloth, from a file of its own or from within another.
func (r *reader) cloth(m *file.Map) *engine.Cloth {
	m.Get("kind").OneOf("cloth")
	c := &engine.Cloth{Name: m.Get("name").Text(), At: m.Range()}
	r.units(m.Get("units"))
	if s, ok := m.Need("structure").OneOf("woven", "knit"); ok {
		c.Structure = engine.Structure(s)
	}
	stretch := m.Get("stretch")
	c.Across, c.Along, c.Bias = r.ways("stretch", stretch, r.stretchOf)
	if stretch.Exists() {
		c.StretchAt = stretch.Range()
	}
	c.ShrinkAcross, c.ShrinkAlong, _ = r.ways("shrinkage", m.Get("shrinkage"), r.share)
	c.Recovery = r.share(m.Get("recovery"))
	c.Thickness, c.Width, c.Length = r.length(m.Get("thickness")), r.length(m.Get("width")), r.length(m.Get("length"))
	if washed, ok := m.Get("prewashed").Bool(); ok {
		c.Prewashed = &washed
	}
	c.Grain, _ = file.Choice(m.Get("grain"), engine.Lengthwise, engine.Crosswise, engine.OnBias)
	c.Nap, _ = m.Get("nap").Bool()
	c.Repeat = r.length(m.Get("repeat"))
	c.Costly, _ = m.Get("costly").Bool()
	c.Drape, _ = m.Get("drape").OneOf("soft", "medium", "crisp")
	m.Close("a cloth file")
	return c
}

// ways reads {across:, along:}, of a stretch bias: too.
func (r *reader) ways(what string, v file.Value, read func(file.Value) *float64) (across, along, bias *float64) {
	switch {
	case !v.Exists():
		return nil, nil, nil
	case v.IsText():
		v.Problem(noDirection, "in which direction is not said", "as in `"+what+": {across: "+v.Text()+"}`, or `along:`, or both")
		return nil, nil, nil
	}
	m := v.Map()
	across, along = read(m.Get("across")), read(m.Get("along"))
	if what == "stretch" {
		bias = read(m.Get("bias"))
	}
	m.Close("`" + what + "`")
	return across, along, bias
}

// share reads a percentage from 0 to 100.
func (r *reader) share(v file.Value) *float64 {
	p, ok := v.Percent()
	if !ok {
		return nil
	}
	if err := r.voc.Limits.CheckShare(p); err != nil {
		v.Problem(badStretch, err.Error()+", got `"+v.Text()+"`", "")
		return nil
	}
	return &p
}

// stretchOf reads a percentage, or a gauge reading {from: 4 in, to: 5 in}.
func (r *reader) stretchOf(v file.Value) *float64 {
	if !v.Exists() {
		return nil
	}
	p, ok := 0.0, false
	if v.IsMap() {
		p, ok = r.gauge(v)
	} else {
		p, ok = v.Percent()
	}
	if !ok {
		return nil
	}
	if err := r.voc.Limits.CheckStretch(p); err != nil {
		v.Problem(badStretch, err.Error(), "how much longer the cloth gets: 4 in that stretch to 5 in are 25 %")
		return nil
	}
	return &p
}

// gauge is the stretch of a length of cloth: (to - from) / from.
func (r *reader) gauge(v file.Value) (float64, bool) {
	m := v.Map()
	from, okFrom := m.Need("from").Length()
	to, okTo := m.Need("to").Length()
	m.Close("a gauge reading")
	if !okFrom || !okTo {
		return 0, false
	}
	if from <= 0 || to < from {
		v.Problem(badStretch, "a gauge reading goes from the relaxed length to the stretched one", "as in {from: 4 in, to: 5 in}")
		return 0, false
	}
	return float64(to-from) / float64(from) * 100, true
}

func (r *reader) length(v file.Value) *quantity.Length {
	l, ok := v.Length()
	if !ok {
		return nil
	}
	if l < 0 {
		v.Problem(belowNothing, "expected a length that is not below 0, got `"+v.Text()+"`", "")
		return nil
	}
	return &l
}
