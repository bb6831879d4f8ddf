# Completion of 'pushrod' for bash. The command itself knows its words; file names come from bash.
_pushrod() {
    local word=${COMP_WORDS[COMP_CWORD]} line=${COMP_LINE:0:COMP_POINT} offered suggestion
    COMPREPLY=()
    offered=$(pushrod "[suggest:${#line}]" "$line" 2>/dev/null)
    while IFS= read -r suggestion; do
        # Options only where one was begun: else they would crowd out the files.
        if [[ -n $suggestion && $suggestion == "$word"* && ( $word == -* || $suggestion != [-/]* ) ]]; then
            COMPREPLY+=("$suggestion")
        fi
    done <<< "$offered"
    if [[ ${#COMPREPLY[@]} -eq 0 && $word != -* ]]; then
        compopt -o default 2>/dev/null
        while IFS= read -r suggestion; do
            COMPREPLY+=("$suggestion")
        done < <(compgen -f -- "$word")
        compopt -o filenames 2>/dev/null
    fi
}
complete -F _pushrod pushrod
