package rules

import "fitadvisor/rules/shape"

// Shape describes a rule file, as [Read] takes it.
func Shape() shape.Shape {
	return shape.Map(
		shape.Need("kind", shape.OneOf("rules"), "What this file holds: rules."),
		shape.Need("topic", shape.Text(), "What the rules are about, as in `cloth`."),
		shape.Need("rules", shape.List(RuleShape()), "The rules."),
	)
}

// RuleShape describes one rule, as [ReadList] takes it.
func RuleShape() shape.Shape {
	return shape.Map(
		shape.Need("id", shape.Matching("^[a-z0-9]+(-[a-z0-9]+)*$"), "The rule's own name: small letters and digits with dashes between, as in `firm-cloth`."),
		shape.Need("severity", shape.OneOf("stop", "warn", "note"), "`stop` rules a size out, `warn` cautions, `note` tells."),
		shape.May("zone", shape.Text(), "Look at this zone alone. Leave out `each`."),
		shape.May("each", shape.OneOf("zone", "measurement", "opening", "cord"), "Look at every one of these singly. Leave out `zone`."),
		shape.May("limits", shape.Map().Rest(shape.Limit()),
			"The rule's thresholds, each with its unit, as in `least: 2 in`; in expressions it is `limit.least`."),
		shape.Need("when", shape.Text(), "The condition: an expression over names such as `zone.ease`, in centimetres and percent."),
		shape.Need("say", shape.Text(), "What to tell the person. `{zone.ease}` puts a value in, `{{` is a brace."),
		shape.May("fix", shape.Text(), "How to mend it, written like `say`."),
		shape.May("replaces", shape.Text(), "The shipped rule that this one stands in for."),
		shape.Need("source", shape.Text(), "Where the rule comes from: a publication, `common practice`, or `from memory: ...`."),
	).Named("rule", "A condition with what to say, how grave it is, how to mend it and where it comes from.")
}
