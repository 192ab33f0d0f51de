#!/usr/bin/env bash
# The service under what the real world does to it: run.sh BINARY. Called by .ci/run.
# What it needs beside Rust (schemathesis, PostgreSQL, nginx) it brings along or says that it is missing.
set -euo pipefail
cd "$(dirname "$0")/../.."
binary="$(realpath "$1")"
work="$(mktemp -d)"
chmod 711 "$work"
children=()
finish() {
  for child in "${children[@]}"; do kill "$child" 2> /dev/null || true; done
  [ ! -d "$work/postgres" ] || as_postgres pg_ctl -s -D "$work/postgres/data" -m immediate stop || true
  rm -rf "$work"
}
trap finish EXIT
bad_day() { python3 tests/service/bad_days.py "$binary" scenarios/family-home.scenario.json "$@"; }
as_postgres() { runuser -u postgres -- "$(ls -d /usr/lib/postgresql/*/bin | tail -1)/$@"; }

# Every malformed request gets its 4xx: every check that there is, against the description itself.
tools="$work/tools"
python3 -m venv "$tools"
"$tools/bin/pip" install --quiet schemathesis==4.32.5
export FAIRTURN_DATABASE="sqlite://$work/schemathesis.sqlite"
token="$("$binary" token add --label schemathesis --role run)"
"$binary" import scenarios/family-home.scenario.json
"$binary" serve --listen 127.0.0.1:7118 --search-percent 1 --rate 100000 2> "$work/log" &
children+=($!)
for _ in $(seq 100); do curl -sf localhost:7118/readyz > "$work/ready" && break || sleep 0.1; done
cp tests/service/schemathesis.toml "$work"
(cd "$work" && "$tools/bin/schemathesis" run http://127.0.0.1:7118/openapi.json \
  --header "Authorization: Bearer $token" --max-examples 25 --seed 1 --no-color --workers 1)
! grep -E '"status":5(00|01|02)' "$work/log"
# Nothing that was sent is in the log.
! grep -E 'gull-steps|fairturn_[0-9a-f]' "$work/log"
unset FAIRTURN_DATABASE

# The proxy's example, in front of it.
if command -v nginx > /dev/null; then
  mkdir "$work/proxy"
  openssl req -x509 -newkey rsa:2048 -nodes -days 1 -subj /CN=rooms.example \
    -keyout "$work/proxy/key.pem" -out "$work/proxy/certificate.pem" 2> "$work/openssl"
  sed 's/127.0.0.1:7117/127.0.0.1:7118/' api/nginx.conf > "$work/proxy/nginx.conf"
  nginx -p "$work/proxy/" -c nginx.conf -g 'daemon off;' &
  children+=($!)
  for _ in $(seq 50); do
    curl -skf https://localhost:7443/readyz > "$work/ready" && break || sleep 0.1
  done
  curl -skf https://localhost:7443/v1/sites -H "Authorization: Bearer $token" | grep -q gull-steps
  [ "$(curl -sk -o "$work/none" -w '%{http_code}' https://localhost:7443/v1/sites)" = 401 ]
  [ "$(curl -sk -o "$work/none" -w '%{http_code}' https://localhost:7443/metrics)" = 404 ]
  echo "proxy: TLS in front, tokens behind"
else
  echo "proxy: not tried, there is no nginx here"
fi

bad_day hang-up
bad_day disk
bad_day clients
bad_day kill

# The same tests against PostgreSQL, and two instances on one.
if ls /usr/lib/postgresql/*/bin/initdb > /dev/null 2>&1; then
  mkdir "$work/postgres"
  chown postgres "$work/postgres"
  as_postgres initdb -D "$work/postgres/data" -A trust --no-sync -E UTF8 --locale=C.UTF-8 > "$work/initdb"
  as_postgres pg_ctl -s -w -D "$work/postgres/data" -l "$work/postgres/log" \
    -o "-p 54329 -k $work/postgres -c listen_addresses=127.0.0.1 -c fsync=off -c max_connections=500" start
  url=postgres://postgres@127.0.0.1:54329
  FAIRTURN_TEST_POSTGRES="$url/postgres" cargo test --locked --test all service::
  as_postgres createdb -h "$work/postgres" -p 54329 fairturn
  bad_day instances "$url/fairturn"
else
  echo "PostgreSQL: not tried, there is none here"
fi
