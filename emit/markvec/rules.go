package markvec

// Rule names what a list must keep to. The package's page lists them all, with their
// reasons.
type Rule string

// The rules.
const (
	RuleForm      Rule = "form"
	RuleValues    Rule = "values"
	RuleSequence  Rule = "sequence"
	RuleInField   Rule = "in-field"
	RuleComment   Rule = "comment"
	RuleWhole     Rule = "whole"
	RuleMaker     Rule = "maker"
	RuleLength    Rule = "length"
	RuleUnused    Rule = "unused"
	RulePower     Rule = "power"
	RuleGate      Rule = "gate"
	RuleDot       Rule = "dot"
	RuleField     Rule = "field"
	RuleCorrected Rule = "corrected"
	RuleDelays    Rule = "delays"
	RuleSource    Rule = "source"
)
