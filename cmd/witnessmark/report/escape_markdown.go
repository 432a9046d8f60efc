package report

import "strings"

// AppendMarkdown appends text from elsewhere so that Markdown, as the hosts of
// repositories read it, shows it and gives it no meaning: what AppendShown spells out,
// and a backslash before what would format. A word that a host would make a mention, a
// reference, a link, a picture of a feeling or a formula stands as code, since no
// backslash keeps hosts from that. It is one line, fit for a cell of a table, and must
// not begin a line.
func AppendMarkdown(dst []byte, s string) []byte {
	for i, word := range strings.Split(Shown(s), " ") {
		if i > 0 {
			dst = append(dst, ' ')
		}
		if hostReads(word) {
			core := strings.TrimLeft(word, "(")
			if inner := strings.TrimRight(core, ".,;:)"); inner != "" && hostReads(inner) {
				core = inner
			}
			before, after, _ := strings.Cut(word, core)
			dst = append(append(appendCodePart(append(append(dst, before...), '`'), core), '`'), after...)
			continue
		}
		for k := range len(word) {
			if strings.IndexByte("\\`*_[]<>|", word[k]) >= 0 {
				dst = append(dst, '\\')
			}
			dst = append(dst, word[k])
		}
	}
	return dst
}

// AppendCode appends text from elsewhere as code.
func AppendCode(dst []byte, s string) []byte {
	if strings.TrimSpace(s) == "" {
		return dst
	}
	return append(appendCodePart(append(dst, '`'), Shown(s)), '`')
}

// appendCodePart spells out what ends code or a cell.
func appendCodePart(dst []byte, s string) []byte {
	for i := range len(s) {
		if s[i] == '`' || s[i] == '|' {
			dst = appendMark(dst, rune(s[i]))
			continue
		}
		dst = append(dst, s[i])
	}
	return dst
}

// hostReads tells whether a host may read more into a word than its characters.
func hostReads(word string) bool {
	lower := strings.ToLower(word)
	alone := len(strings.Trim(word, `.,;:()"'`)) < 2 // as in 90 %
	return strings.ContainsAny(word, "@#!%") && !alone || strings.ContainsAny(word, "$~^&") ||
		strings.Count(word, ":") > 1 || strings.Contains(word, "://") || strings.Contains(lower, "www.") || strings.HasPrefix(lower, "gh-") ||
		strings.Contains(lower, "mailto:") || strings.Contains(lower, "xmpp:")
}
