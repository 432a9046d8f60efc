# Completion of witnessmark for fish. The command itself says what fits; nothing that was
# typed is evaluated here.
function __witnessmark_complete
    set -l given (commandline -opc)
    set -l typed (commandline -ct)
    set -l command $given[1]
    set -e given[1]
    set -l lines (command $command complete -- $given "$typed" 2>/dev/null)
    set -l mode (string split -m 1 ' ' -- "$lines[1]")
    set -e lines[1]
    switch "$mode[1]"
        case :words
            printf '%s\n' $lines
        case :files :folders
            set -l prefix "$mode[2]"
            set -l path (string sub -s (math (string length -- "$prefix") + 1) -- "$typed")
            set -l found (__fish_complete_path "$path")
            test $mode[1] = :folders; and set found (__fish_complete_directories "$path")
            for file in $found
                printf '%s\n' "$prefix$file"
            end
    end
end
complete -c witnessmark -f -a '(__witnessmark_complete)'
