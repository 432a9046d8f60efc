#compdef witnessmark
# Completion of witnessmark for zsh. The command itself says what fits; nothing that was
# typed is evaluated here. Put it into a folder of fpath as _witnessmark, or source it.
_witnessmark() {
	local -a lines replies shown
	local line mode prefix
	lines=("${(@f)$(command ${(Q)words[1]} complete -- "${(@Q)words[2,CURRENT-1]}" "$PREFIX" 2>/dev/null)}")
	mode=${lines[1]%% *}
	prefix=${${lines[1]#$mode}# }
	shift lines
	case $mode in
	:files|:folders)
		IPREFIX+=$prefix
		PREFIX=${PREFIX#$prefix}
		if [[ $mode == :folders ]]; then
			_files -/
		else
			_files
		fi
		;;
	:words)
		for line in $lines; do
			replies+=("${line%%$'\t'*}")
			shown+=("${line/$'\t'/  }")
		done
		compadd -l -d shown -a replies
		;;
	esac
}
if [[ ${funcstack[1]} == _witnessmark ]]; then
	_witnessmark "$@"
elif (( $+functions[compdef] )); then
	compdef _witnessmark witnessmark
fi
