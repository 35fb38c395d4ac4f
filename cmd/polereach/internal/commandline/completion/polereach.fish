# Completion of polereach in fish: put it into ~/.config/fish/completions/polereach.fish
function __polereach_complete
    set -l before (commandline -opc)
    set -l program $before[1]
    set -e before[1]
    $program complete -- $before (commandline -ct | string collect --allow-empty) 2>/dev/null
end
complete -c polereach -a '(__polereach_complete)'
