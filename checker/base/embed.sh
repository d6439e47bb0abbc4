#!/bin/sh
# Writes C that holds the files named as arguments: the definitions behind checker/base/embedded.h, sorted by name.
set -eu
export LC_ALL=C

[ $# -eq 0 ] || set -- $(printf '%s\n' "$@" | sort)

echo '#include "base/embedded.h"'
number=0
for file; do
  number=$((number + 1))
  echo "static const unsigned char file_$number[] = { /* $file */"
  od -A n -v -t x1 "$file" | sed 's/ \(..\)/0x\1,/g'
  echo '0};'
done

echo 'const struct embedded_file embedded_files[] = {'
number=0
for file; do
  number=$((number + 1))
  echo "{\"$file\", file_$number, sizeof file_$number - 1},"
done
echo '{0}};'
echo "const size_t embedded_count = $number;"
