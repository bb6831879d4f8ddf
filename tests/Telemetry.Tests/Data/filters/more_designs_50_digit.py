import json, csv, numpy as np
from mpmath import mp, mpf, mpc, tan, pi, sqrt, exp, matrix, lu_solve
from scipy import signal
import scipy
mp.dps=50
D=''  # run in this folder
def design(n,fs,fc,kind):
    w=[tan(pi*mpf(f)/mpf(fs)) for f in (fc if isinstance(fc,list) else [fc])]
    proto=[exp(1j*pi*mpf(2*k+n+1)/(2*n)) for k in range(n)]
    if kind=='lowpass': s=[w[0]*p for p in proto]; z=[mpf(-1)]*n; at=mpf(1)
    elif kind=='highpass': s=[w[0]/p for p in proto]; z=[mpf(1)]*n; at=mpf(-1)
    else:
        B=w[1]-w[0]; W=w[0]*w[1]; s=[]
        for p in proto:
            h=(B*p if kind=='bandpass' else B/p)/2; r=sqrt(h*h-W); s+=[h+r,h-r]
        sc=1j*sqrt(W); zc=(1+sc)/(1-sc)
        if kind=='bandpass': z=[mpf(1)]*n+[mpf(-1)]*n; at=zc
        else: z=[zc,zc.conjugate()]*n; at=mpf(1)
    p=[(1+x)/(1-x) for x in s]
    return z,p,at
def sections(z,p,at):
    # one pole pair + zero pair each, any pairing; exact arithmetic makes the pairing irrelevant
    up=[x for x in p if x.imag>mpf(10)**-40]; re=[x for x in p if abs(x.imag)<=mpf(10)**-40]
    prs=[(x,x.conjugate()) for x in up]+[(re[i],re[i+1]) if i+1<len(re) else (re[i],None) for i in range(0,len(re),2)]
    zz=list(z); out=[]
    for a,b in prs:
        if b is None: z1=zz.pop(); num=[mpf(1),-mp.re(z1),mpf(0)]; den=[mpf(1),-mp.re(a),mpf(0)]
        else:
            z1=zz.pop(0); z2=zz.pop(0) if abs(mp.im(z1))>0 else zz.pop()
            num=[mpf(1),-mp.re(z1+z2),mp.re(z1*z2)]; den=[mpf(1),-mp.re(a+b),mp.re(a*b)]
        h=abs((num[0]+num[1]/at+num[2]/at**2)/(den[0]+den[1]/at+den[2]/at**2))
        out.append(([c/h for c in num],den))
    return out
def zerophase(secs,x,pad):
    x=[mpf(v) for v in x]
    e=[2*x[0]-x[i] for i in range(pad,0,-1)]+x+[2*x[-1]-x[-1-i] for i in range(1,pad+1)]
    for _ in range(2):
        y=e
        lvl=e[0]
        for b,a in secs:
            g=(b[0]+b[1]+b[2])/(a[0]+a[1]+a[2])
            s1=(g-b[0])*lvl; s2=(b[2]-a[2]*g)*lvl
            out=[]
            for v in y:
                o=b[0]*v+s1; s1=b[1]*v-a[1]*o+s2; s2=b[2]*v-a[2]*o; out.append(o)
            y=out; lvl*=g
        e=y[::-1]
    return e[pad:len(e)-pad] if pad else e
def load(n):
    r=list(csv.DictReader(open(D+n)))
    return [float(q['input']) for q in r],[float(q['mpmath_50_digit_zero_phase']) if 'mpmath_50_digit_zero_phase' in q else None for q in r]
# self-check
x,m=load('lp4_2000_0p5_response.csv')
y=zerophase(sections(*design(4,2000,0.5,'lowpass')),x,15); print('self-check',max(abs(float(a)-b) for a,b in zip(y,m)))
cases=[('lp8_2000_0p5',8,2000,0.5,'lowpass','lp4_2000_0p5_response.csv'),
('hp4_2000_0p5',4,2000,0.5,'highpass','lp4_2000_0p5_response.csv'),
('bs2_1000_45_55',2,1000,[45,55],'bandstop','lp4_1000_10_response.csv'),
('bs3_1000_5_200',3,1000,[5,200],'bandstop','lp4_1000_10_response.csv'),
('bp3_1000_5_50',3,1000,[5,50],'bandpass','lp4_1000_10_response.csv'),
('bp1_1000_1_300',1,1000,[1,300],'bandpass','lp4_1000_10_response.csv'),
('lp12_1000_10',12,1000,10,'lowpass','lp4_1000_10_response.csv'),
('hp5_1000_20',5,1000,20,'highpass','lp4_1000_10_response.csv')]
res=[]; cols={}
for name,n,fs,fc,kind,src in cases:
    z,p,at=design(n,fs,fc,kind); secs=sections(z,p,at)
    x,_=load(src); x=x[:400]
    y=[float(v) for v in zerophase(secs,x,30)]
    sos=signal.butter(n,fc,btype=kind,fs=fs,output='sos')
    sp=signal.sosfiltfilt(sos,x,padlen=30)
    print(name,'scipy diff',np.abs(sp-y).max(), 'scale',np.abs(y).max())
    fr=[0.1,0.5,1,5,20,48,100,200,240] if fs==1000 else [0.05,0.25,0.5,1,2,10]
    mags=[]
    for f in fr:
        zz=exp(2j*pi*mpf(f)/fs); h=mpf(1)
        for b,a in secs: h*=abs((b[0]+b[1]/zz+b[2]/zz**2)/(a[0]+a[1]/zz+a[2]/zz**2))
        mags.append(float(h))
    res.append(dict(name=name,order=n,sample_rate_hz=fs,cutoff_hz=fc,type=kind,padlen=30,input_file=src,input_samples=400,
      poles=sorted([[float(q.real),float(q.imag)] for q in p]),scipy_sos=sos.tolist(),
      magnitude_frequency_hz=fr,magnitude=mags,zero_phase=y,max_abs_difference_scipy_sosfiltfilt=float(np.abs(sp-y).max())))
json.dump(dict(library='mpmath %s at 50 digits; scipy %s for scipy_sos'%(__import__('mpmath').__version__,scipy.__version__),cases=res),open('more_designs_50_digit.json','w'),indent=1)
