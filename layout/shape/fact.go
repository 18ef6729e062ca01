package shape

import "net/url"

// longestName is how many bytes a name may take among the facts of a thing, which are 200 at most.
const longestName = 100

// NameFact words a name so that it has no spaces and is ASCII: as in the path of a URL (RFC 3986).
// A name too long for it is not told.
func NameFact(key, name string) string {
	text := url.PathEscape(name)
	if text == "" || len(text) > longestName {
		return ""
	}
	return key + "=" + text
}
