#!/usr/bin/env bash
# The container file, built and tried: container.sh [IMAGE]. With IMAGE that one is tried as it is.
# Needs buildah and curl; it builds for as long as a newcomer does, so run.sh only names it. Where
# containers may not be started, BUILDAH_ISOLATION=chroot and STORAGE_DRIVER=vfs serve.
set -euo pipefail
cd "$(dirname "$0")/../.."
work="$(mktemp -d)"
image="${1:-localhost/fairturn-tried}"
[ $# = 1 ] || buildah bud --tag "$image" --file api/Containerfile .
box="$(buildah from --pull-never "$image")"
# However this ends, what it started ends as well.
trap 'in_box touch /data/end; wait; buildah rm "$box" > "$work/none"; rm -rf "$work"' EXIT
in_box() { buildah run "$box" -- "$@"; }
answers() { for _ in $(seq 100); do curl -sf "$1" > "$work/ready" && return || sleep 0.1; done; return 1; }

# It runs as nobody in particular, who may write to the volume and to nothing else.
[ "$(in_box id -un)" = fairturn ]
[ "$(in_box pwd)" = /data ]
[ -z "$(in_box ls -A /data)" ]
in_box sh -c '! touch /usr/local/bin/x 2> /dev/null'
# Beyond itself it listens to nobody without a token.
if in_box fairturn serve > "$work/refused" 2>&1; then exit 1; fi
grep -q 'without a token' "$work/refused"
token="$(in_box fairturn token add --label office --role run)"
# A shell in the box ends it, whatever keeps the box apart.
in_box sh -c 'fairturn serve & until [ -e /data/end ]; do sleep 0.2; done; kill -TERM $!; wait $!' \
  > "$work/log" 2>&1 &
served=$!
api=http://127.0.0.1:7117
answers $api/readyz
[ "$(curl -s -o "$work/none" -w '%{http_code}' $api/v1/sites)" = 401 ]
site=$api/v1/sites/gull-steps-family-home
ask() { curl -s --fail-with-body -H "Authorization: Bearer $token" -H 'Content-Type: application/json' "$@"; }
ask -X PUT $site -H 'If-None-Match: *' -d @scenarios/family-home.scenario.json > "$work/site"
ask $site/charts -d '{"date": "2026-04-14"}' > "$work/chart"
grep -q '"safe_to_run":true' "$work/chart"
# Asked to end it ends well, and what it kept is in the volume.
in_box touch /data/end
wait $served
grep -q '"event":"ended"' "$work/log"
[ -n "$(in_box ls /data/fairturn.sqlite)" ]
echo "container: built, refused without a token, made a chart, ended when asked"
