# Completion of leanrich for bash. What can follow is asked of the program itself, so it is never out of date.

_leanrich_options() {
  leanrich "$1" --help 2>/dev/null </dev/null | grep -oE -- '--[a-z][a-z0-9-]*' | sort -u
}

_leanrich() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} command=${COMP_WORDS[1]} words=
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    words=$(leanrich --help 2>/dev/null </dev/null | sed -n 's/^  \([a-z]*\) .*/\1/p')
    mapfile -t COMPREPLY < <(compgen -W "$words --help" -- "$word")
    return
  fi
  case $before in
  --output | --rules | --check)
    compopt -o filenames
    mapfile -t COMPREPLY < <(compgen -d -- "$word")
    return
    ;;
  --profile)
    compopt -o filenames
    mapfile -t COMPREPLY < <(compgen -W 'default strictest example-company' -- "$word"; compgen -f -- "$word")
    return
    ;;
  --fail-on) words='resolve justify consider state' ;;
  --paper) words='A4 letter' ;;
  --amine) words='MEA DEA MDEA DGA DIPA' ;;
  *)
    case $word in
    -*) words=$(_leanrich_options "$command") ;;
    *)
      if [ "$command" = explain ]; then
        words=$(leanrich rules 2>/dev/null </dev/null | grep -oE '^ *[A-Z]+-[0-9]+')
      elif [ "$command" = help ]; then
        local topic=
        [ "$before" != describing ] || topic=describing
        words=$(leanrich help $topic 2>/dev/null </dev/null | sed -n 's/^  \([a-z-]*\) .*/\1/p')
      else
        compopt -o filenames
        mapfile -t COMPREPLY < <(compgen -d -- "$word"; compgen -f -X '!*.[xc][ms][lv]' -- "$word")
        return
      fi
      ;;
    esac
    ;;
  esac
  mapfile -t COMPREPLY < <(compgen -W "$words" -- "$word")
}

complete -F _leanrich leanrich
