// Package sheet sets the papers of an order: the proof that a customer signs, and
// the sheet that lies on the bench. It knows what stands on them, and nothing of
// how it was found.
package sheet
