package buyer

import (
	"fitadvisor/cmd/advisor/parts"
	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/recipes/advice"
)

// lay lays an answer out as a part of the page.
func (d *Desk) lay(r advice.Reply) (parts.HTML, error) {
	a := r.Answer
	words, brief := Said(d.Words), report.NewBrief(a)
	var w parts.Writer
	w.Put(parts.HTML(`<div class="result" data-size="`))
	if a.Recommended != nil {
		w.Put(a.Recommended.Size)
	}
	w.Put(parts.HTML("\">\n<div class=\"card decision\">"))
	decision(&w, words, brief)
	if a.Ends == "" && a.Recommended != nil {
		w.Put(parts.HTML(`<p class="decides">`), report.Capital(a.Recommended.Decides), parts.HTML(".</p>"))
	}
	w.Put(parts.HTML("</div>\n"))
	room, err := parts.Room(a)
	if err != nil {
		return "", err
	}
	if room != "" {
		w.Put(parts.HTML(`<figure class="card room"><figcaption>`), words["room"], parts.HTML("</figcaption>"), room, parts.HTML("<p><small>"), report.RoomNote, parts.HTML("</small></p></figure>\n"))
	}
	told, good := cautions(words, a.Cautions)
	w.In(`<ul class="cautions">`, told)
	whole, err := parts.Fragment(r.Document().Blocks...)
	if err != nil {
		return "", err
	}
	w.Put(parts.HTML(`<details class="fold" id="whole"><summary>`), words["why"], parts.HTML("</summary>\n"))
	if good != "" {
		w.Put(parts.HTML("<h3>"), words["good"], parts.HTML(`</h3><ul class="cautions">`), good, parts.HTML("</ul>"))
	}
	w.Put(parts.Quoted(whole), parts.HTML("</details></div>\n"))
	return w.HTML(), nil
}

// decision is the size, large, the lines to follow, and how sure it is.
func decision(w *parts.Writer, words map[string]string, b report.Brief) {
	if b.Size == "" {
		w.Put(parts.HTML(`<p class="none">`), b.Rest, parts.HTML("</p>"))
	} else {
		w.Put(parts.HTML(`<p class="size"><span>`), words["cut"], parts.HTML("</span> <b>"), b.Size, parts.HTML("</b>"))
		if b.Rest != "" {
			w.Put(parts.HTML(" <span>"), words["with"], " ", b.Rest, parts.HTML("</span>"))
		}
		w.Put(parts.HTML("</p>"))
	}
	if len(b.Route) > 0 {
		w.Put(parts.HTML(`<dl class="route">`))
		for _, l := range b.Route {
			w.Put(parts.HTML("<dt>"), l.Levels, parts.HTML("</dt><dd>"), l.Line, parts.HTML("</dd>"))
		}
		w.Put(parts.HTML("</dl>"))
	}
	if b.Doubt == "" {
		return
	}
	class := parts.HTML(`<p class="sure">`)
	if b.Sure {
		class = `<p class="sure firm">`
	}
	w.Put(class, parts.HTML("<strong>"), b.Doubt, parts.HTML("</strong> "), b.Settle, parts.HTML("</p>"))
}

// cautions are those that change what is done, and those that only tell.
func cautions(words map[string]string, all []engine.Caution) (told, good parts.HTML) {
	var mind, notes parts.Writer
	for _, c := range all {
		w, head := &mind, words["mind"]
		switch c.Severity {
		case engine.Note:
			w = &notes
		case engine.Stop:
			head = words["stop"]
		}
		w.Put(parts.HTML(`<li class="is-`), string(c.Severity), parts.HTML(`"><p>`))
		if c.Severity != engine.Note {
			w.Put(parts.HTML("<strong>"), head, parts.HTML(":</strong> "))
		}
		w.Put(explain.Quoted(c.Say), parts.HTML("</p>"))
		w.In(`<p class="fix">`, explain.Quoted(c.Fix))
		w.Put(parts.HTML("</li>"))
	}
	return mind.HTML(), notes.HTML()
}

// sheet is the sheet to cut by, which has its title and the day itself; its heading is for screen readers.
func sheet(a *engine.Answer) (parts.HTML, error) {
	title, d := report.Plan(a)
	body, err := parts.Fragment(d.Blocks...)
	var w parts.Writer
	w.Put(parts.HTML("<h1 class=\"unseen\">"), title, parts.HTML("</h1>\n"), body)
	return w.HTML(), err
}
