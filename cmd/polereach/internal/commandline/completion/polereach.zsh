#compdef polereach
# Completion of polereach in zsh: source it after compinit, or put it as _polereach
# into a folder of fpath.
_polereach() {
  local -a found
  found=("${(@f)$("$words[1]" complete -- "${(@)words[2,CURRENT]}" 2>/dev/null)}")
  if [[ -n "$found" ]]; then
    compadd -a found
  else
    _files
  fi
}
if [[ "$funcstack[1]" == _polereach ]]; then
  _polereach "$@"
else
  compdef _polereach polereach
fi
