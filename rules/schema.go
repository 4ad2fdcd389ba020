package rules

import (
	"slices"

	"fitadvisor/engine"
	"fitadvisor/rules/shape"
)

// Shape describes a rule file, as [Read] takes it, over the names of body measurements.
func Shape(measure shape.Shape) shape.Shape {
	return shape.Map(
		shape.Need("kind", shape.OneOf("rules"), "What this file holds: rules."),
		shape.Need("topic", shape.Text(), "What the rules are about, as in `cloth`."),
		shape.Need("rules", shape.List(RuleShape(measure).Named("rule", AboutRule)), "The rules."),
	)
}

// RuleShape describes one rule, as a list of rules takes it, over the names of body measurements.
//
// With `amount:` it alters the pattern, else it cautions. A note that is a reason
// for a toile may say nothing else.
func RuleShape(measure shape.Shape) shape.Shape {
	return shape.When("amount", alterShape(measure), shape.When("toile", cautionShape(shape.May), cautionShape(shape.Need)))
}

// AboutRule says what a rule is.
const AboutRule = "A condition with what to say, how grave it is, how to mend it and where it comes from; with an amount, what to alter in the pattern."

// says is the key of what a rule tells, which it may or must have.
func says(key func(string, shape.Shape, string) shape.Key) shape.Key {
	return key("say", shape.Text(), "What to tell the person. `{zone.ease}` puts a value in, `{{` is a brace.")
}

// ruleKeys are the keys of a rule, with those of its kind behind the first.
func ruleKeys(own ...shape.Key) []shape.Key {
	return slices.Concat([]shape.Key{
		shape.Need("id", shape.Matching("^[a-z0-9]+(-[a-z0-9]+)*$"), "The rule's own name: small letters and digits with dashes between, as in `firm-cloth`."),
	}, own, []shape.Key{
		shape.May("limits", shape.Map().Rest(shape.Limit()),
			"The rule's thresholds, each with its unit, as in `least: 2 in`; in expressions it is `limit.least`."),
		shape.Need("when", shape.Text(), "The condition: an expression over names such as `zone.ease`, in centimetres and percent."),
		shape.May("replaces", shape.Text(), "The shipped rule that this one stands in for."),
		shape.Need("source", shape.Text(), "Where the rule comes from: a publication, `common practice`, or `from memory: ...`."),
	})
}

func alterShape(measure shape.Shape) shape.Shape {
	return shape.Map(ruleKeys(
		says(shape.Need),
		shape.Need("amount", shape.Text(), "How much is altered: an expression that gives a length or an angle. Shortening and taking in are below 0."),
		shape.Need("step", shape.OneOf(engine.Steps()...), "Where it stands in the trade's order of alterations."),
		shape.May("part", shape.OneOrList(shape.OneOf(engine.Parts()...)), "Ask it only of garments that have this part, or one of these."),
		shape.Need("zone", measure, "The measurement of the body at which it is."),
		shape.May("settles", measure, "The measurement that it puts right, at which the plan enters it."),
		shape.May("gains", shape.Text(), "What the garment gains there, where that is not the amount: an expression, as in `2 * alteration.amount`."),
		shape.May("adds", shape.Map().Rest(shape.Text()), "What the garment gains at other levels: expressions by measurement, as in {waist: 2 * alteration.amount}."),
		shape.May("because", shape.Text(), "What shows that it is needed, written like `say`."),
		shape.May("measure", shape.Text(), "What to say where the amount is not known: what to measure on the pattern."),
		shape.Need("where", shape.Text(), "Where on the pattern it is done, written like `say`."),
		shape.Need("spread", shape.Text(), "How to spread the pattern or take it in, written like `say`."),
		shape.May("also", shape.Text(), "What else changes by it, written like `say`."),
		shape.May("unless", shape.Text(), "A condition under which it is not made, as in `has.shoulder_pads`: an expression. What is not known spares nothing."),
		shape.May("instead", shape.Text(), "What to do where that holds, written like `say`. It is told under what could not be checked."),
	)...)
}

func cautionShape(say func(string, shape.Shape, string) shape.Key) shape.Shape {
	return shape.Map(ruleKeys(
		says(say),
		shape.Need("severity", shape.OneOf("stop", "warn", "note"), "`stop` rules a size out, `warn` cautions, `note` tells."),
		shape.May("zone", shape.Text(), "Look at this zone alone. Leave out `each`."),
		shape.May("each", shape.OneOf("zone", "measurement", "opening", "cord", "alteration"), "Look at every one of these singly. Leave out `zone`."),
		shape.May("fix", shape.Text(), "How to mend it, written like `say`."),
		shape.May("on_sheet", shape.Bool(), "Whether a note stands on the sheet to cut by too, since it changes what is done at the table. Warnings always do."),
		shape.May("toile", shape.Text(), "Why that is a reason to sew a toile first, as a part of a sentence, written like `say`. A note with this alone is no caution."),
	)...)
}
