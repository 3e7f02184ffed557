package gcode

// Rule names what a line must keep to. The package's page lists them all, with
// their reasons.
type Rule string

// The rules.
const (
	RuleText       Rule = "text"
	RuleLineLength Rule = "line-length"
	RuleGrammar    Rule = "grammar"
	RuleWords      Rule = "words"
	RuleVocabulary Rule = "vocabulary"
	RuleComment    Rule = "comment"
	RuleModes      Rule = "modes"
	RuleUnits      Rule = "units"
	RuleStart      Rule = "start"
	RulePosition   Rule = "position"
	RuleArm        Rule = "arm"
	RulePowerMode  Rule = "power-mode"
	RulePower      Rule = "power"
	RuleTraverse   Rule = "traverse"
	RuleUnarmed    Rule = "unarmed"
	RuleStandstill Rule = "standstill"
	RuleArc        Rule = "arc"
	RuleZero       Rule = "zero"
	RuleOverride   Rule = "override"
	RuleAir        Rule = "air"
	RuleEnd        Rule = "end"
	RuleAfterEnd   Rule = "after-end"
	RuleWhole      Rule = "whole"
	RuleMaker      Rule = "maker"
	RuleSettings   Rule = "settings"
)
