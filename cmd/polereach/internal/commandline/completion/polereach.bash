# Completion of polereach in bash: source it, or put it into
# ~/.local/share/bash-completion/completions/polereach
_polereach() {
  local word=${COMP_WORDS[COMP_CWORD]} line
  COMPREPLY=()
  while IFS= read -r line; do
    [[ $word == [\"\']* ]] || printf -v line %q "$line"
    COMPREPLY+=("$line")
  done < <("${COMP_WORDS[0]}" complete -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -o default -F _polereach polereach
