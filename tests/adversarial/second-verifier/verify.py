"""A second verifier of signed summaries, after schemas/README.md; the numbers are its rules.

Reads a JSON list of cases on stdin, each with name, summary, trust (a bundle or null), keys (JWKs) and, where there is one,
log; writes a JSON list of name, verdict, code and the state of the log. Signatures are checked by the openssl command.
"""
import base64
import hashlib
import json
import re
import subprocess
import sys
import tempfile
from decimal import Decimal

P = 2**255 - 19
SMALL = {bytes.fromhex('26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05'),
         bytes.fromhex('c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a')}
ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_'
INSTANT = re.compile(r'(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)(?:\.(\d{1,9}))?Z')


class Refused(Exception):
    pass


class Duplicate(Exception):
    pass


def require(holds, code):
    if not holds:
        raise Refused(code)


# Section 1: JSON -----------------------------------------------------------------------------------------------------

def pairs_once(pairs):
    names = [name for name, _ in pairs]
    if '__proto__' in names:
        raise ValueError('name')
    if len(set(names)) != len(names):
        raise Duplicate()
    return dict(pairs)


def number(text):
    value = float(text)
    digits = re.split('[eE]', text)[0]
    if abs(value) >= 2**53 or (value == 0 and (text.startswith('-') or digits.strip('-0.'))):
        raise ValueError('number')
    return value


def constant(_):
    raise ValueError('constant')


def check_depth(value, depth=1):
    if isinstance(value, (dict, list)):
        if depth > 32:
            raise ValueError('depth')
        for each in value.values() if isinstance(value, dict) else value:
            check_depth(each, depth + 1)
    if isinstance(value, dict):
        for name in value:
            name.encode('utf-8')
    if isinstance(value, str):
        value.encode('utf-8')


def read_json(data):
    text = data.decode('utf-8')
    if text.startswith('\ufeff'):
        raise ValueError('mark')
    value = json.loads(text, object_pairs_hook=pairs_once, parse_int=number, parse_float=number, parse_constant=constant)
    check_depth(value)
    return value


# RFC 8785 -----------------------------------------------------------------------------------------------------------

def write_number(value):
    if value == 0:
        return '0'
    sign, figures, exponent = Decimal(repr(float(value))).normalize().as_tuple()
    figures = ''.join(map(str, figures))
    k, n = len(figures), len(figures) + exponent
    if k <= n <= 21:
        text = figures + '0' * (n - k)
    elif 0 < n <= 21:
        text = figures[:n] + '.' + figures[n:]
    elif -6 < n <= 0:
        text = '0.' + '0' * -n + figures
    else:
        text = figures[0] + ('.' + figures[1:] if k > 1 else '') + f'e{n - 1:+d}'
    return ('-' if sign else '') + text


def write_text(text):
    escapes = {'"': '\\"', '\\': '\\\\', '\b': '\\b', '\f': '\\f', '\n': '\\n', '\r': '\\r', '\t': '\\t'}
    return '"' + ''.join(escapes.get(c) or (f'\\u{ord(c):04x}' if c < ' ' else c) for c in text) + '"'


def canonical(value):
    if isinstance(value, dict):
        names = sorted(value, key=lambda name: name.encode('utf-16-be'))
        return '{' + ','.join(write_text(name) + ':' + canonical(value[name]) for name in names) + '}'
    if isinstance(value, list):
        return '[' + ','.join(map(canonical, value)) + ']'
    if isinstance(value, bool):
        return 'true' if value else 'false'
    if value is None:
        return 'null'
    return write_text(value) if isinstance(value, str) else write_number(value)


# Rules 14 to 19 ------------------------------------------------------------------------------------------------------

def base64url(text):
    if re.search('[^A-Za-z0-9_-]', text) or len(text) % 4 == 1:
        return None
    data = base64.urlsafe_b64decode(text + '=' * (-len(text) % 4))
    return data if base64.urlsafe_b64encode(data).decode().rstrip('=') == text else None


def base64_text(text):
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError:
        return None
    return data if base64.b64encode(data).decode() == text else None


def envelope(summary):
    require(isinstance(summary, str), 'ERR_JWS_TYPE')
    require(len(summary) <= 8_388_608, 'ERR_JWS_LENGTH')
    parts = summary.split('.')
    require(len(parts) == 3, 'ERR_JWS_PARTS')
    read = [base64url(part) for part in parts]
    require(None not in read, 'ERR_JWS_ENCODING')
    require(len(read[2]) == 64, 'ERR_JWS_SIGNATURE_LENGTH')
    try:
        header = read_json(read[0])
    except Duplicate:
        raise Refused('ERR_JWS_HEADER_DUPLICATE_NAME')
    except (ValueError, RecursionError):
        raise Refused('ERR_JWS_HEADER_JSON')
    return header, read[1], read[2], '.'.join(parts[:2]).encode('ascii')


def check_header(header):
    require(isinstance(header, dict), 'ERR_HEADER_MEMBER')
    for name in ('b64', 'crit', 'jku', 'jwk', 'x5u', 'x5c'):
        require(name not in header, f'ERR_HEADER_{name.upper()}')
    require(set(header) <= {'alg', 'kid', 'typ'}, 'ERR_HEADER_MEMBER')
    alg = header.get('alg')
    lower = alg.lower() if isinstance(alg, str) else ''
    require(lower != 'none', 'ERR_HEADER_ALG_NONE')
    require(not re.match(r'hs\d', lower), 'ERR_HEADER_ALG_SYMMETRIC')
    require(alg == 'Ed25519', 'ERR_HEADER_ALG_OTHER')
    require(header.get('typ') == 'fairpull-summary+jws', 'ERR_HEADER_TYP')
    kid = header.get('kid')
    require(isinstance(kid, str) and re.fullmatch('[A-Za-z0-9_-]{43}', kid), 'ERR_HEADER_KID')
    return kid


def instant(text):
    match = INSTANT.fullmatch(text) if isinstance(text, str) else None
    return None if match is None else match[1] + '.' + (match[2] or '').ljust(9, '0')


def read_payload(data):
    try:
        value = read_json(data)
    except (ValueError, RecursionError, Duplicate):
        raise Refused('ERR_PAYLOAD_JSON')
    require(canonical(value).encode() == data, 'ERR_PAYLOAD_NOT_CANONICAL')
    text = lambda each: isinstance(each, str) and each != ''
    texts = lambda each: isinstance(each, list) and all(isinstance(one, str) for one in each)
    try:
        issue, result = value['issue'], value['result']
        runs = result['inputs']['runs']
        holds = all([
            *(text(issue[name]) for name in ('id', 'issuer', 'submitter')), instant(issue['issuedAt']) is not None,
            issue['supersedes'] is None or isinstance(issue['supersedes'], str),
            issue['registration'] in ('pre-registered', 'amended', 'none'), texts(issue['receipts']),
            text(result['method']), text(result['protocol']['id']), text(result['protocol']['digest']),
            text(result['inputs']['comparison']), isinstance(runs, list),
            all(text(run['run']) and text(run['digest']) for run in runs),
            result['standing'] in ('valid', 'limited', 'invalid'), texts(result['scope']), texts(result['limits']),
        ])
    except (KeyError, TypeError):
        holds = False
    require(holds, 'ERR_PAYLOAD_SHAPE')
    return value


# Rules 20, 21 --------------------------------------------------------------------------------------------------------

def point_of(jwk):
    raw = base64url(jwk['x'])
    y = int.from_bytes(raw, 'little') & (2**255 - 1)
    plain = y.to_bytes(32, 'little')
    good = len(raw) == 32 and 'd' not in jwk and y < P and y not in (0, 1, P - 1) and plain not in SMALL
    return raw if good else None


def thumbprint(raw):
    x = base64.urlsafe_b64encode(raw).decode().rstrip('=')
    digest = hashlib.sha256(f'{{"crv":"Ed25519","kty":"OKP","x":"{x}"}}'.encode()).digest()
    return base64.urlsafe_b64encode(digest).decode().rstrip('=')


def signed_by(raw, data, signature):
    with tempfile.TemporaryDirectory() as folder:
        paths = {name: f'{folder}/{name}' for name in ('key', 'data', 'signature')}
        content = {'key': bytes.fromhex('302a300506032b6570032100') + raw, 'data': data, 'signature': signature}
        for name, path in paths.items():
            with open(path, 'wb') as file:
                file.write(content[name])
        command = ['openssl', 'pkeyutl', '-verify', '-pubin', '-keyform', 'DER', '-inkey', paths['key'], '-rawin',
                   '-in', paths['data'], '-sigfile', paths['signature']]
        return subprocess.run(command, capture_output=True).returncode == 0


# Section 10: the log -------------------------------------------------------------------------------------------------

def sha256(data):
    return hashlib.sha256(data).digest()


def inclusion_holds(index, size, leaf, root, proof):
    if not 0 <= index < size:
        return False
    at, last, reached = index, size - 1, leaf
    for sibling in proof:
        if last == 0:
            return False
        if at % 2 == 1 or at == last:
            reached = sha256(b'\1' + sibling + reached)
            while at % 2 == 0 and at != 0:
                at, last = at // 2, last // 2
        else:
            reached = sha256(b'\1' + reached + sibling)
        at, last = at // 2, last // 2
    return last == 0 and reached == root


def read_note(text):
    body, blank, lines = text.rpartition('\n\n')
    signatures = []
    if not blank or not lines.endswith('\n'):
        return None
    for line in lines[:-1].split('\n'):
        match = re.fullmatch(r'— (\S+) (\S+)', line)
        data = match and base64_text(match[2])
        if not data or len(data) <= 4 or '+' in match[1]:
            return None
        signatures.append((match[1], data[:4], data[4:]))
    return body + '\n', signatures


def check_log(summary, log, trusted):
    """Rules 36 to 39: the state, and the index where it counts."""
    hashes = None
    if isinstance(log, dict) and isinstance(log.get('proof'), list):
        hashes = [base64_text(each) if isinstance(each, str) else None for each in log['proof']]
    index = log.get('index') if isinstance(log, dict) else None
    is_whole = isinstance(index, (int, float)) and not isinstance(index, bool)
    require(hashes is not None and None not in hashes and is_whole and isinstance(log.get('checkpoint'), str),
            'ERR_LOG_RECEIPT_FORM')
    note = read_note(log['checkpoint'])
    match = note and re.fullmatch(r'([^\n]+)\n(0|[1-9]\d{0,15})\n([^\n]+)\n(?:[^\n]+\n)*', note[0])
    root = match and base64_text(match[3])
    require(root and len(root) == 32, 'ERR_LOG_CHECKPOINT')
    known = [key for key in trusted if key.split('+', 2)[0] == match[1]] if trusted else []
    is_trusted = False
    for key in known:
        name, _, encoded = key.split('+', 2)
        raw = base64_text(encoded)[1:]
        key_id = sha256(name.encode() + b'\n\1' + raw)[:4]
        mine = [sig for who, kid, sig in note[1] if who == name and kid == key_id]
        is_trusted |= bool(mine) and all(signed_by(raw, note[0].encode(), sig) for sig in mine)
    require(is_trusted or not known, 'ERR_LOG_CHECKPOINT')
    leaf = sha256(b'\0fairpull-summary-v1\n' + sha256(summary.encode('ascii')))
    holds = all(len(each) == 32 for each in hashes) and float(index).is_integer()
    require(holds and inclusion_holds(int(index), int(match[2]), leaf, root, hashes), 'ERR_LOG_INCLUSION')
    return ('proven', int(index)) if is_trusted else ('log-unknown', None)


# Section 6: the procedure --------------------------------------------------------------------------------------------

def verify(case):
    header, payload_bytes, signature, signed = envelope(case['summary'])
    kid = check_header(header)
    payload = read_payload(payload_bytes)
    trust = case.get('trust') or {'keys': []}
    candidates = [entry['jwk'] for entry in trust['keys']] + case.get('keys', [])
    points = [point for point in map(point_of, candidates) if point and thumbprint(point) == kid]
    require(points, 'ERR_SIGNATURE_NO_KEY')
    require(signed_by(points[0], signed, signature), 'ERR_SIGNATURE_BROKEN')

    logged, index, log_code = 'not-checked', None, None
    if 'log' in case:
        try:
            logged, index = check_log(case['summary'], case['log'], trust.get('logs', []))
        except Refused as refusal:
            logged, log_code = 'refused', str(refusal)
    entry = next((each for each in trust['keys'] if thumbprint(point_of(each['jwk'])) == kid), None)
    if entry is not None:
        at = instant(payload['issue']['issuedAt'])
        require(entry['issuer'] == payload['issue']['issuer'], 'ERR_KEY_OTHER_ISSUER')
        in_time = instant(entry['notBefore']) <= at and ('notAfter' not in entry or at <= instant(entry['notAfter']))
        require(in_time, 'ERR_KEY_OUTSIDE_WINDOW')
        limit = entry.get('notTrustedFromIndex')
        require(limit is None or (index is not None and index < limit), 'ERR_KEY_REVOKED')
    require(log_code is None, log_code)
    has_receipts = bool(payload['issue']['receipts'])
    require(has_receipts == (payload['issue']['registration'] != 'none'), 'ERR_REGISTRATION_CONTRADICTED')
    return ('verified' if entry is not None else 'intact-key-unknown'), logged


def answer(case):
    try:
        verdict, logged = verify(case)
        return {'name': case['name'], 'verdict': verdict, 'code': None, 'logged': logged}
    except Refused as refusal:
        return {'name': case['name'], 'verdict': 'refused', 'code': str(refusal), 'logged': None}


json.dump([answer(case) for case in json.load(sys.stdin)], sys.stdout)
