# Completion of 'pushrod' for zsh. The command itself knows its words; file names come from zsh.
_pushrod() {
    local word=${words[CURRENT]} line="${(j: :)words[1,CURRENT]}"
    local -a offered
    offered=(${(f)"$(pushrod "[suggest:${#line}]" "$line" 2>/dev/null)"})
    # Options only where one was begun: else they would crowd out the files.
    if [[ $word != -* ]]; then
        offered=(${offered:#[-/]*})
    fi
    offered=(${(M)offered:#${word}*})
    if (( ${#offered} )); then
        compadd -- $offered
    elif [[ $word != -* ]]; then
        _files
    fi
}
compdef _pushrod pushrod
