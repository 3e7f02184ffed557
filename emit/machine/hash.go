package machine

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
)

// Hash identifies the profile's content: twelve hex digits of a SHA-256. A file
// carries it, so that it is not run by mistake with another profile.
func (p Profile) Hash() string {
	b, err := json.Marshal(p)
	if err != nil { // NaN or infinity, which Validate refuses
		return ""
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:6])
}
