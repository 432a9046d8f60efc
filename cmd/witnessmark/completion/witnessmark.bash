# Completion of witnessmark for bash 3.2 and later. The command itself says what fits;
# nothing that was typed is evaluated here.
_witnessmark() {
	local line=${COMP_LINE:0:COMP_POINT} rest word i mode='' prefix='' cut='' file reply
	local -a given
	given=()
	COMPREPLY=()
	# bash splits words at = and : as well; put together what has no blank between.
	for ((i = 0; i <= COMP_CWORD; i++)); do
		word=${COMP_WORDS[i]}
		rest=${line#"${line%%[![:space:]]*}"}
		if ((i == COMP_CWORD)); then
			word=$rest # up to the cursor
		fi
		if ((i > 0)) && [ "$rest" = "$line" ]; then
			given[${#given[@]} - 1]+=$word
		else
			given[${#given[@]}]=$word
		fi
		line=${rest#"$word"}
	done
	local typed=${given[${#given[@]} - 1]}
	# What bash replaces begins behind the last such sign.
	for i in '=' ':'; do
		if [[ $COMP_WORDBREAKS == *"$i"* && $typed == *"$i"* ]]; then
			word=${typed%"$i"*}$i
			[ ${#word} -gt ${#cut} ] && cut=$word
		fi
	done
	while IFS= read -r reply; do
		if [ -z "$mode" ]; then
			mode=${reply%% *}
			prefix=${reply#"$mode"}
			prefix=${prefix# }
			continue
		fi
		reply=${reply%%$'\t'*}
		COMPREPLY[${#COMPREPLY[@]}]=${reply#"$cut"}
	done < <("${given[0]/#\~\//$HOME/}" complete -- "${given[@]:1}" 2>/dev/null)
	case $mode in
	:files) mode=-f ;;
	:folders) mode=-d ;;
	*) return 0 ;;
	esac
	while IFS= read -r file; do
		file=$prefix$file
		COMPREPLY[${#COMPREPLY[@]}]=${file#"$cut"}
	done < <(compgen "$mode" -- "${typed#"$prefix"}")
	type compopt >/dev/null 2>&1 && compopt -o filenames 2>/dev/null
	return 0
}
complete -F _witnessmark witnessmark
