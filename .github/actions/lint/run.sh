#!/usr/bin/env bash
# The steps of the action; everything they need is in the environment, so that nothing
# a change brings is ever part of a script.
#
#   run.sh get       puts the command into WITNESSMARK_WORK: builds it, or takes a release
#   run.sh lint      judges, writes every report, shows text and notes in the log
#   run.sh verdict   ends with the status of lint
#
#   WITNESSMARK_WORK       a folder for the command and the reports
#   WITNESSMARK_SOURCE     the clone to build from
#   WITNESSMARK_VERSION    the release to take, without the v; empty: build
#   WITNESSMARK_RELEASES   the address below which the archives of that release lie
#   WITNESSMARK_SHA256     what the archive must be; empty: what checksums.txt beside it says
#   WITNESSMARK_FOLDER     the top of the firm's repository (default: the working folder)
#   WITNESSMARK_PATHS      what to judge there, a path on each line (default: all)
#   WITNESSMARK_ROOT, _FAIL_ON, _AS_OF, _SINCE, _OUTCOMES  options of lint; empty: left out
#   WITNESSMARK_STATUS     for verdict: what lint ended with
set -euo pipefail

# What one run writes. Of a version that lacks a format the report is left out, and the
# log says so. Text goes to the log as well.
reports=(
	"text report.txt"
	"annotations annotations.txt"
	"summary summary.md"
	"sarif report.sarif"
	"json report.json"
	"csv report.csv"
	"html report.html"
	"junit junit.xml"
	"code-quality code-quality.json"
)

work=${WITNESSMARK_WORK:?}
command=$work/bin/witnessmark

fail() {
	printf 'witnessmark: %s\n' "$*" >&2
	exit 2
}

# output NAME VALUE hands a value on to later steps.
output() { printf '%s=%s\n' "$1" "$2" >>"${GITHUB_OUTPUT:?}"; }

sha256() { if command -v sha256sum >/dev/null; then sha256sum; else shasum -a 256; fi | cut -d ' ' -f 1; }

fetch() {
	case $1 in
	https://* | file://*) ;;
	*) fail "releases: $1 is no https address" ;;
	esac
	curl --fail --silent --show-error --location --proto-redir =https --retry 3 --output "$2" -- "$1" || fail "could not get $1"
}

get() {
	mkdir -p "$work/bin"
	if [ -z "${WITNESSMARK_VERSION:-}" ]; then
		(cd "${WITNESSMARK_SOURCE:?}" && go build -o "$command" ./cmd/witnessmark)
		"$command" --version
		return
	fi
	local version=$WITNESSMARK_VERSION os processor kind=tar.gz name
	[[ $version =~ ^[0-9][0-9A-Za-z.-]*$ ]] || fail "version: $version is none, such as 1.2.3"
	case ${RUNNER_OS:?} in
	Linux) os=linux ;;
	macOS) os=darwin ;;
	Windows) os=windows kind=zip ;;
	*) fail "nothing is released for $RUNNER_OS" ;;
	esac
	case ${RUNNER_ARCH:?} in
	X64) processor=amd64 ;;
	ARM64) processor=arm64 ;;
	*) fail "nothing is released for $RUNNER_ARCH" ;;
	esac
	name=witnessmark_${version}_${os}_$processor
	local from=${WITNESSMARK_RELEASES:-}
	[ -n "$from" ] || fail "releases: say where the archives of version $version lie"
	fetch "${from%/}/$name.$kind" "$work/$name.$kind"
	local want=${WITNESSMARK_SHA256:-} is
	if [ -z "$want" ]; then
		fetch "${from%/}/checksums.txt" "$work/checksums.txt"
		want=$(awk -v name="$name.$kind" '$2 == name { print $1 }' "$work/checksums.txt")
	fi
	is=$(sha256 <"$work/$name.$kind")
	if [ "$is" != "$want" ]; then
		rm -f "$work/$name.$kind"
		fail "the archive $name.$kind is not what it should be: its checksum is $is, not ${want:-in checksums.txt}"
	fi
	case $kind in
	zip) unzip -q -o "$work/$name.zip" -d "$work" ;;
	*) tar -xzf "$work/$name.tar.gz" -C "$work" ;;
	esac
	[ "$os" != windows ] || command=$command.exe
	mv "$work/$name/${command##*/}" "$command"
	"$command" --version
}

# say FILE… prints what may hold foreign text so that the host reads no command in it.
say() {
	local word
	word=$(od -An -N16 -tx1 /dev/urandom | tr -d ' \n')
	printf '::stop-commands::%s\n' "$word"
	cat "$@"
	printf '\n::%s::\n' "$word"
}

lint() {
	[ -e "$command" ] || command=$command.exe
	# The host finds files from the top of the repository, wherever the root file is.
	local folder=$work/reports options=(--paths working-directory) paths=() has status=0 format file line
	mkdir -p "$folder"
	cd "${WITNESSMARK_FOLDER:-.}"
	has=$("$command" complete -- lint --output "" | cut -f 1)
	for line in "${reports[@]}"; do
		format=${line%% *} file=$folder/${line#* }
		rm -f "$file"
		if grep -qxF -- "$format" <<<"$has"; then
			options+=(--output "$format:$file")
		else
			printf 'witnessmark: this version does not write %s\n' "$format"
		fi
	done
	[ -z "${WITNESSMARK_ROOT:-}" ] || options+=(--root "$WITNESSMARK_ROOT")
	[ -z "${WITNESSMARK_FAIL_ON:-}" ] || options+=(--fail-on "$WITNESSMARK_FAIL_ON")
	[ -z "${WITNESSMARK_AS_OF:-}" ] || options+=(--as-of "$WITNESSMARK_AS_OF")
	[ -z "${WITNESSMARK_SINCE:-}" ] || options+=(--since "$WITNESSMARK_SINCE")
	[ -z "${WITNESSMARK_OUTCOMES:-}" ] || options+=(--outcomes "$WITNESSMARK_OUTCOMES")
	while IFS= read -r line; do
		[ -z "$line" ] || paths+=("$line")
	done <<<"${WITNESSMARK_PATHS:-}"
	"$command" lint "${options[@]}" -- ${paths[@]+"${paths[@]}"} >"$folder/said.txt" 2>&1 || status=$?

	cd "$folder"
	touch report.txt
	say report.txt said.txt
	[ ! -s annotations.txt ] || cat annotations.txt
	if [ -s summary.md ]; then
		cat summary.md >>"${GITHUB_STEP_SUMMARY:?}"
	elif [ "$status" -gt 1 ]; then # or else the page would be silent
		printf '## witnessmark\n\nNothing was judged, which is no pass: the log says why.\n' >>"${GITHUB_STEP_SUMMARY:?}"
	fi
	output status "$status"
	output reports "$folder"
	[ ! -s report.sarif ] || output sarif "$folder/report.sarif"
	[ ! -s junit.xml ] || output junit "$folder/junit.xml"
	[ ! -s code-quality.json ] || output code-quality "$folder/code-quality.json"
}

verdict() {
	case ${WITNESSMARK_STATUS:-} in
	0) echo "nothing to act on" ;;
	1) fail_with 1 "there are findings at or above the threshold" ;;
	*) fail_with 2 "something could not be checked; that is never a pass" ;;
	esac
}

fail_with() {
	printf 'witnessmark: %s\n' "$2"
	exit "$1"
}

case ${1:-} in
get | lint | verdict) "$1" ;;
*) fail "say what to do: get, lint or verdict" ;;
esac
