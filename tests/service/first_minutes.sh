#!/usr/bin/env bash
# The commands of the README's chapter about the service, word for word, in a folder of their own; then
# what the chapter says of tokens, export, backup and erasure. first_minutes.sh BINARY
set -euo pipefail
cd "$(dirname "$0")/../.."
binary="$(realpath "$1")"
folder="$(mktemp -d)"
trap 'kill $(jobs -p) 2> /dev/null || true; wait; rm -rf "$folder"' EXIT
mkdir -p "$folder/target/release"
ln -s "$binary" "$folder/target/release/fairturn"
ln -s "$PWD/scenarios" "$folder/scenarios"
port="$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')"
# Block N of the chapter's commands; built already, and on a port that is free here.
block() {
  awk -v want="$1" '/^## /{ chapter = $0 } chapter != "## Run the service" { next }
    /^```sh/ { inside = 1; block += 1; next } /^```/ { inside = 0 } inside && block == want' README.md |
    sed -e '/^cargo build /d' -e "s/7117/$port/g"
}
cd "$folder"
fails() { echo "README: $1"; exit 1; }
answers() { for _ in $(seq 100); do curl -sf "http://127.0.0.1:$port/readyz" > ready && return || sleep 0.1; done; fails "it does not start"; }
export FAIRTURN_LISTEN="127.0.0.1:$port"

# Nobody beyond this machine before there is a token.
status=0
target/release/fairturn serve --listen "0.0.0.0:$port" 2> refused || status=$?
[ "$status" = 2 ] && grep -q 'without a token' refused || fails "it listens beyond this machine without a token"

(cd "$OLDPWD" && block 1) > first.sh
(cd "$OLDPWD" && block 2) > second.sh
(cd "$OLDPWD" && block 3) > third.sh
for words in 'fairturn import' 'fairturn serve'; do grep -q "$words" first.sh || fails "no $words"; done
for words in '/charts' '"away"' '/repairs' '/checks'; do grep -q "$words" second.sh || fails "no $words"; done
for words in 'token add' 'serve --listen'; do grep -q "$words" third.sh || fails "no $words"; done

started="$(date +%s)"
. ./first.sh > first.out 2> first.log
answers
. ./second.sh > second.out
printf 'README: started, a chart made, an adult away, a block checked in %s s\n' "$(($(date +%s) - started))"
grep -q 'This is a plan' second.out || fails "no chart"
grep -qi 'deniz' second.out || fails "no repair"
grep -Eq '^(Go|Not then|No-go)' second.out || fails "no verdict about the block"
ids="$(curl -s "http://127.0.0.1:$port/v1/sites/lantern-quay-children-s-centre/charts" | grep -o '"verb":"[a-z]*"' | tr '\n' ' ')"
[ "$ids" = '"verb":"repaired" "verb":"made" ' ] || fails "not one chart and its repair: $ids"

# A copy while it runs, out and in again, and a child out of every byte.
site=lantern-quay-children-s-centre
target/release/fairturn backup --to copy.sqlite | grep -q 'sites: 1' || fails "the copy does not say what it holds"
target/release/fairturn export --site "$site" > out.json
cmp out.json scenarios/mixed-age-room.scenario.json || fails "export is not what was imported"
target/release/fairturn import out.json --database "sqlite://copy.sqlite" 2> there && fails "a site was replaced unasked"
target/release/fairturn import out.json --replace --database "sqlite://copy.sqlite" > again
child="$(curl -s "http://127.0.0.1:$port/v1/sites/$site/charts" | grep -o '"id":"[0-9a-f]*"' | head -1 | cut -d'"' -f4)"
child="$(curl -s "http://127.0.0.1:$port/v1/sites/$site/charts/$child" | grep -o '"children":\[{"id":"[^"]*"' | head -1 | cut -d'"' -f6)"
grep -q "\"$child\"" fairturn.sqlite* || fails "nothing to erase"
target/release/fairturn erase --site "$site" --child "$child" > erased
grep -q 'copy.sqlite' erased || fails "the copy is not listed"
if grep -qi "\"$child\"" fairturn.sqlite*; then fails "$child is still in the store"; fi
kill %1
wait %1 || fails "it does not end well"

# Tokens: shown once, and then every door asks for one.
sed -n '/token add/p' third.sh > add.sh
token="$(. ./add.sh)"
sed -n '/serve --listen/p' third.sh | sed 's/$/ \&/' > serve.sh
. ./serve.sh 2> second.log
answers
status() { curl -s -o none -w '%{http_code}' "http://127.0.0.1:$port/v1/sites" "$@"; }
[ "$(status)" = 401 ] || fails "no token is asked for"
[ "$(status -H "Authorization: Bearer $token")" = 200 ] || fails "the token does not open"
target/release/fairturn token revoke "$(echo "$token" | cut -d_ -f2)" > revoked
[ "$(status -H 'Host: localhost')" = 401 ] || fails "without any token left, others come in"
if grep -q "${token##*_}" fairturn.sqlite* first.log second.log; then fails "the token is kept"; fi
echo "README: tokens, export, backup and erasure as it says"
