#!/bin/sh
# Installs what a task needs, on Debian 12: sh checker/setup.sh build|test|check|document|cluster
#
# Says what is missing and installs it with apt-get, without asking. Silent and quick when all is there. SETUP=no only
# says what is missing, and fails when something is. To come this far a machine needs git and make.
set -eu

build='gcc libc6-dev make pkgconf libxml2-dev libgsl-dev libjansson-dev libxlsxwriter-dev libzip-dev zlib1g-dev'
test="$build libcriterion-dev libxml2-utils python3"
check="$test clang libclang-rt-14-dev llvm clang-tidy clang-format cppcheck gcovr valgrind hyperfine strace
  parallel units python3-fluids python3-iapws python3-jsonschema python3-numpy python3-scipy"
document="$build chromium weasyprint poppler-utils libreoffice-calc-nogui fonts-dejavu-core
  python3 python3-lxml python3-websocket dpkg-dev debootstrap man-db"
cluster="$build slurmctld slurmd slurm-client munge parallel openssh-server openssh-client iproute2 python3"

case ${1-} in
build) wanted=$build ;;
test) wanted=$test ;;
check) wanted=$check ;;
document) wanted=$document ;;
cluster) wanted=$cluster ;;
*)
  echo 'usage: sh checker/setup.sh build|test|check|document|cluster' >&2
  exit 2
  ;;
esac

if ! command -v dpkg-query >/dev/null; then
  echo "set-up: this is not Debian; what is needed is here called:" $wanted >&2
  exit 0
fi

missing=
for package in $wanted; do
  status=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$status" = installed ] || missing="$missing $package"
done
[ -n "$missing" ] || exit 0

echo "set-up: missing for '$1':$missing"
if [ "${SETUP-}" = no ]; then
  echo "set-up: refused (SETUP=no). Install with: apt-get install --no-install-recommends$missing" >&2
  exit 1
fi

sudo=
if [ "$(id -u)" -ne 0 ]; then
  if ! command -v sudo >/dev/null; then
    echo "set-up: neither root nor sudo. As root: apt-get install --no-install-recommends$missing" >&2
    exit 1
  fi
  sudo='sudo'
fi

get() {
  $sudo env DEBIAN_FRONTEND=noninteractive apt-get -q -o Dpkg::Use-Pty=0 "$@" </dev/null
}

# The lists of packages are fetched only when apt-get cannot do without.
if get install --simulate --no-install-recommends $missing >/dev/null 2>&1 &&
  get install --yes --no-install-recommends $missing; then
  exit 0
fi
get update || true
get install --yes --no-install-recommends $missing
