#!/bin/sh
# Finds the deck that the command ss_case is to read. Called by it: ss_reader.sh FOLDER [PROGRAM]
# FOLDER is ss_case's own temporary folder. FOLDER/name holds "name:" and what the person typed: it comes in a file, so that
# no shell ever reads it as a command. Writes FOLDER/deck: the path of the deck, or "none" after saying why.
# PROGRAM: splitstart, for names that end in .xml.
folder=$1
program=${2:-splitstart}
echo none > "$folder/deck"
name=$(sed '1s/^name://' "$folder/name")
refuse() {
  echo "ss_case: $1"
  exit 0
}
case $name in
  '') refuse 'which deck or case? ss_case help' ;;
  -* | *[!A-Za-z0-9._/-]*) refuse 'a file name may hold letters, digits, dot, underscore, hyphen and slash, and not begin with a hyphen' ;;
esac
if ! [ -f "$name" ] || ! [ -r "$name" ]; then refuse "there is no file $name that can be read"; fi
case $name in
  *.xml)
    command -v "$program" > /dev/null || refuse 'the program splitstart is not in the path: setcs ss_splitstart = /path/to/splitstart'
    "$program" netlist "$name" -o "$folder/start.cir" || refuse "splitstart made no deck of $name"
    echo "$folder/start.cir" > "$folder/deck"
    ;;
  *) echo "$name" > "$folder/deck" ;;
esac
