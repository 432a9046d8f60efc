// Package jobfile reads the bytes of one job file, YAML or JSON, into a tree
// in which every value knows its line, its column and its bytes.
//
// It refuses whatever could silently shift a line or change a value, with the
// position, what is wrong and what to do. A file is either read completely or
// refused: [Read] returns a [File] only when there is no [Problem]. The rules:
//
//   - Encoding is UTF-8. A byte order mark at the start is accepted and not
//     counted as a column; anywhere else it is refused, like NUL, other control
//     characters, direction controls and invisible spaces.
//   - Lines end in LF or CRLF. Lone CR, NEL, U+2028, U+2029, FF and VT are
//     refused: programs disagree on whether they end a line. Lines are counted
//     by LF, as git and editors count them.
//   - Indentation is made of spaces; tabs elsewhere are accepted, in JSON
//     everywhere.
//   - One document, whose root is a mapping. No anchors, aliases, merge keys,
//     tags, directives, "?" keys, and no key twice.
//   - A value without quotes stays on one line. YAML would join the lines that
//     follow, so a mis-indented list item would vanish into the item above.
//   - Values without quotes are typed by the YAML 1.2 core schema, with the
//     calendar date added: yes, no, on, off are text. What older YAML reads as
//     another number (010, 0o17, 0x1F, 1_000, 13:30) is refused, and so are
//     .inf and .nan. Values in quotes are always text.
//   - In { } and [ ] a comma ends a value, so {set: 5,8 N·m} is refused with
//     both readings shown.
//
// Nothing here does I/O except [ReadFS], which reads one file through io/fs.
package jobfile
