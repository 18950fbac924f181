/**
 * @license
 * Copyright 2017 Google LLC
 * SPDX-License-Identifier: BSD-3-Clause
 */var Y=globalThis,ne=s=>s,H=Y.trustedTypes,ie=H?H.createPolicy("lit-html",{createHTML:s=>s}):void 0,he="$lit$",v=`lit$${Math.random().toFixed(9).slice(2)}$`,ce="?"+v,Ie=`<${ce}>`,k=document,L=()=>k.createComment(""),M=s=>s===null||typeof s!="object"&&typeof s!="function",Z=Array.isArray,qe=s=>Z(s)||typeof s?.[Symbol.iterator]=="function",V=`[ 	
\f\r]`,T=/<(?:(!--|\/[^a-zA-Z])|(\/?[a-zA-Z][^>\s]*)|(\/?$))/g,re=/-->/g,oe=/>/g,b=RegExp(`>|${V}(?:([^\\s"'>=/]+)(${V}*=${V}*(?:[^ 	
\f\r"'\`<>=]|("|')|))|$)`,"g"),ae=/'/g,le=/"/g,pe=/^(?:script|style|textarea|title)$/i,Q=s=>(e,...t)=>({_$litType$:s,strings:e,values:t}),r=Q(1),w=Q(2),At=Q(3),E=Symbol.for("lit-noChange"),a=Symbol.for("lit-nothing"),de=new WeakMap,y=k.createTreeWalker(k,129);function ue(s,e){if(!Z(s)||!s.hasOwnProperty("raw"))throw Error("invalid template strings array");return ie!==void 0?ie.createHTML(e):e}var Be=(s,e)=>{let t=s.length-1,n=[],i,o=e===2?"<svg>":e===3?"<math>":"",l=T;for(let c=0;c<t;c++){let d=s[c],p,u,h=-1,f=0;for(;f<d.length&&(l.lastIndex=f,u=l.exec(d),u!==null);)f=l.lastIndex,l===T?u[1]==="!--"?l=re:u[1]!==void 0?l=oe:u[2]!==void 0?(pe.test(u[2])&&(i=RegExp("</"+u[2],"g")),l=b):u[3]!==void 0&&(l=b):l===b?u[0]===">"?(l=i??T,h=-1):u[1]===void 0?h=-2:(h=l.lastIndex-u[2].length,p=u[1],l=u[3]===void 0?b:u[3]==='"'?le:ae):l===le||l===ae?l=b:l===re||l===oe?l=T:(l=b,i=void 0);let $=l===b&&s[c+1].startsWith("/>")?" ":"";o+=l===T?d+Ie:h>=0?(n.push(p),d.slice(0,h)+he+d.slice(h)+v+$):d+v+(h===-2?c:$)}return[ue(s,o+(s[t]||"<?>")+(e===2?"</svg>":e===3?"</math>":"")),n]},R=class s{constructor({strings:e,_$litType$:t},n){let i;this.parts=[];let o=0,l=0,c=e.length-1,d=this.parts,[p,u]=Be(e,t);if(this.el=s.createElement(p,n),y.currentNode=this.el.content,t===2||t===3){let h=this.el.content.firstChild;h.replaceWith(...h.childNodes)}for(;(i=y.nextNode())!==null&&d.length<c;){if(i.nodeType===1){if(i.hasAttributes())for(let h of i.getAttributeNames())if(h.endsWith(he)){let f=u[l++],$=i.getAttribute(h).split(v),P=/([.?@])?(.*)/.exec(f);d.push({type:1,index:o,name:P[2],strings:$,ctor:P[1]==="."?F:P[1]==="?"?z:P[1]==="@"?K:A}),i.removeAttribute(h)}else h.startsWith(v)&&(d.push({type:6,index:o}),i.removeAttribute(h));if(pe.test(i.tagName)){let h=i.textContent.split(v),f=h.length-1;if(f>0){i.textContent=H?H.emptyScript:"";for(let $=0;$<f;$++)i.append(h[$],L()),y.nextNode(),d.push({type:2,index:++o});i.append(h[f],L())}}}else if(i.nodeType===8)if(i.data===ce)d.push({type:2,index:o});else{let h=-1;for(;(h=i.data.indexOf(v,h+1))!==-1;)d.push({type:7,index:o}),h+=v.length-1}o++}}static createElement(e,t){let n=k.createElement("template");return n.innerHTML=e,n}};function _(s,e,t=s,n){if(e===E)return e;let i=n!==void 0?t._$Co?.[n]:t._$Cl,o=M(e)?void 0:e._$litDirective$;return i?.constructor!==o&&(i?._$AO?.(!1),o===void 0?i=void 0:(i=new o(s),i._$AT(s,t,n)),n!==void 0?(t._$Co??=[])[n]=i:t._$Cl=i),i!==void 0&&(e=_(s,i._$AS(s,e.values),i,n)),e}var J=class{constructor(e,t){this._$AV=[],this._$AN=void 0,this._$AD=e,this._$AM=t}get parentNode(){return this._$AM.parentNode}get _$AU(){return this._$AM._$AU}u(e){let{el:{content:t},parts:n}=this._$AD,i=(e?.creationScope??k).importNode(t,!0);y.currentNode=i;let o=y.nextNode(),l=0,c=0,d=n[0];for(;d!==void 0;){if(l===d.index){let p;d.type===2?p=new D(o,o.nextSibling,this,e):d.type===1?p=new d.ctor(o,d.name,d.strings,this,e):d.type===6&&(p=new G(o,this,e)),this._$AV.push(p),d=n[++c]}l!==d?.index&&(o=y.nextNode(),l++)}return y.currentNode=k,i}p(e){let t=0;for(let n of this._$AV)n!==void 0&&(n.strings!==void 0?(n._$AI(e,n,t),t+=n.strings.length-2):n._$AI(e[t])),t++}},D=class s{get _$AU(){return this._$AM?._$AU??this._$Cv}constructor(e,t,n,i){this.type=2,this._$AH=a,this._$AN=void 0,this._$AA=e,this._$AB=t,this._$AM=n,this.options=i,this._$Cv=i?.isConnected??!0}get parentNode(){let e=this._$AA.parentNode,t=this._$AM;return t!==void 0&&e?.nodeType===11&&(e=t.parentNode),e}get startNode(){return this._$AA}get endNode(){return this._$AB}_$AI(e,t=this){e=_(this,e,t),M(e)?e===a||e==null||e===""?(this._$AH!==a&&this._$AR(),this._$AH=a):e!==this._$AH&&e!==E&&this._(e):e._$litType$!==void 0?this.$(e):e.nodeType!==void 0?this.T(e):qe(e)?this.k(e):this._(e)}O(e){return this._$AA.parentNode.insertBefore(e,this._$AB)}T(e){this._$AH!==e&&(this._$AR(),this._$AH=this.O(e))}_(e){this._$AH!==a&&M(this._$AH)?this._$AA.nextSibling.data=e:this.T(k.createTextNode(e)),this._$AH=e}$(e){let{values:t,_$litType$:n}=e,i=typeof n=="number"?this._$AC(e):(n.el===void 0&&(n.el=R.createElement(ue(n.h,n.h[0]),this.options)),n);if(this._$AH?._$AD===i)this._$AH.p(t);else{let o=new J(i,this),l=o.u(this.options);o.p(t),this.T(l),this._$AH=o}}_$AC(e){let t=de.get(e.strings);return t===void 0&&de.set(e.strings,t=new R(e)),t}k(e){Z(this._$AH)||(this._$AH=[],this._$AR());let t=this._$AH,n,i=0;for(let o of e)i===t.length?t.push(n=new s(this.O(L()),this.O(L()),this,this.options)):n=t[i],n._$AI(o),i++;i<t.length&&(this._$AR(n&&n._$AB.nextSibling,i),t.length=i)}_$AR(e=this._$AA.nextSibling,t){for(this._$AP?.(!1,!0,t);e!==this._$AB;){let n=ne(e).nextSibling;ne(e).remove(),e=n}}setConnected(e){this._$AM===void 0&&(this._$Cv=e,this._$AP?.(e))}},A=class{get tagName(){return this.element.tagName}get _$AU(){return this._$AM._$AU}constructor(e,t,n,i,o){this.type=1,this._$AH=a,this._$AN=void 0,this.element=e,this.name=t,this._$AM=i,this.options=o,n.length>2||n[0]!==""||n[1]!==""?(this._$AH=Array(n.length-1).fill(new String),this.strings=n):this._$AH=a}_$AI(e,t=this,n,i){let o=this.strings,l=!1;if(o===void 0)e=_(this,e,t,0),l=!M(e)||e!==this._$AH&&e!==E,l&&(this._$AH=e);else{let c=e,d,p;for(e=o[0],d=0;d<o.length-1;d++)p=_(this,c[n+d],t,d),p===E&&(p=this._$AH[d]),l||=!M(p)||p!==this._$AH[d],p===a?e=a:e!==a&&(e+=(p??"")+o[d+1]),this._$AH[d]=p}l&&!i&&this.j(e)}j(e){e===a?this.element.removeAttribute(this.name):this.element.setAttribute(this.name,e??"")}},F=class extends A{constructor(){super(...arguments),this.type=3}j(e){this.element[this.name]=e===a?void 0:e}},z=class extends A{constructor(){super(...arguments),this.type=4}j(e){this.element.toggleAttribute(this.name,!!e&&e!==a)}},K=class extends A{constructor(e,t,n,i,o){super(e,t,n,i,o),this.type=5}_$AI(e,t=this){if((e=_(this,e,t,0)??a)===E)return;let n=this._$AH,i=e===a&&n!==a||e.capture!==n.capture||e.once!==n.once||e.passive!==n.passive,o=e!==a&&(n===a||i);i&&this.element.removeEventListener(this.name,this,n),o&&this.element.addEventListener(this.name,this,e),this._$AH=e}handleEvent(e){typeof this._$AH=="function"?this._$AH.call(this.options?.host??this.element,e):this._$AH.handleEvent(e)}},G=class{constructor(e,t,n){this.element=e,this.type=6,this._$AN=void 0,this._$AM=t,this.options=n}get _$AU(){return this._$AM._$AU}_$AI(e){_(this,e)}};var je=Y.litHtmlPolyfillSupport;je?.(R,D),(Y.litHtmlVersions??=[]).push("3.3.3");var X=(s,e,t)=>{let n=t?.renderBefore??e,i=n._$litPart$;if(i===void 0){let o=t?.renderBefore??null;n._$litPart$=i=new D(e.insertBefore(L(),o),o,void 0,t??{})}return i._$AI(s),i};var g=class extends Error{constructor(t,n){super(n);this.code=t}code};async function me(s){let e=await s.text();if(s.ok)return e;let t=`the server refused (${s.status})`;try{t=JSON.parse(e).error??t}catch{}throw new g(s.status,t)}async function fe(s){let e=await me(s);return e===""?void 0:JSON.parse(e)}async function C(s,e){return fe(await fetch(s,e?{signal:e}:{}))}async function ge(s){return me(await fetch(s))}async function x(s,e){return fe(await fetch(s,{method:"POST",headers:{"Content-Type":"application/json"},body:JSON.stringify(e)}))}var Ue=900,$e=5e3,ve=500,W=class{hello;now;claims=new Map;lines=[];heard=0;gone=!1;source;listeners=new Set;lineListeners=new Set;messageListeners=new Map;asked=!1;start(){this.open(),setInterval(()=>this.look(),200)}subscribe(e){this.listeners.add(e)}onLine(e){this.lineListeners.add(e)}on(e,t){let n=this.messageListeners.get(e)??new Set;this.messageListeners.set(e,n.add(t)),n.size===1&&this.source&&this.hear(this.source,e)}changed(){if(this.asked)return;this.asked=!0;let e=()=>{if(this.asked){this.asked=!1;for(let t of this.listeners)t()}};requestAnimationFrame(e),document.hidden&&setTimeout(e,500)}get silence(){return(performance.now()-this.heard)/1e3}open(){let e=this.lines.at(-1)?.seq,t=new EventSource("/api/live"+(e===void 0?"":`?after=${e}`));this.source=t,t.addEventListener("hello",n=>this.greet(JSON.parse(n.data))),t.addEventListener("now",n=>{this.now=JSON.parse(n.data),this.word()}),t.addEventListener("claims",n=>{for(let i of JSON.parse(n.data).claims)this.claims.set(i.claim,i);this.word()}),t.onmessage=n=>this.line(JSON.parse(n.data)),t.onerror=()=>{t.readyState!==EventSource.CLOSED||this.source!==t||setTimeout(()=>this.reopen(),1e3)};for(let n of this.messageListeners.keys())this.hear(t,n)}hear(e,t){e.addEventListener(t,n=>{let i=JSON.parse(n.data);for(let o of this.messageListeners.get(t)??[])o(i)})}reopen(){this.source?.close(),this.open()}greet(e){if(this.hello&&(this.hello.session!==e.session||this.hello.build!==e.build)){location.reload();return}!this.hello&&e.after>0&&this.past(e.after),this.hello=e,document.title=`benchproof: ${e.model}`,this.word()}async past(e){let n=(await ge(`/api/timeline?after=${Math.max(0,e-ve)}&limit=${ve}`)).split(`
`).filter(i=>i!=="").map(i=>JSON.parse(i));this.lines.unshift(...n.filter(i=>i.seq<=e)),this.changed()}line(e){let t=this.lines.at(-1)?.seq??0;if(!(e.seq<=t)){this.lines.push(e),this.lines.length>$e&&this.lines.splice(0,this.lines.length-$e);for(let n of this.lineListeners)n(e);this.word()}}word(){this.heard=performance.now(),this.gone=!1,this.changed()}look(){let e=performance.now()-this.heard>Ue;e!==this.gone&&(this.gone=e,this.changed())}};function we(s){if(s.gone||!s.now)return r`<p class="headline trouble" role="alert">
      ${s.heard===0?"Waiting for benchproof.":"benchproof does not answer. What is below is old."}
    </p>`;let e=[...s.now.headline].sort((t,n)=>+(n.grade==="trouble")-+(t.grade==="trouble"));return r`<p class="headline">
    ${e.map(t=>r`<span class=${"part "+t.grade}>${t.text}</span>`)}
  </p>`}var Ve={"seen right":w`<circle cx="8" cy="8" r="7"/><path class="sign" d="M4.5 8.5l2.5 2.5 4.5-5.5"/>`,"seen wrong":w`<path d="M8 .8L15.6 14.6H.4z"/><path class="sign" d="M8 5v5M8 11.6v1.6"/>`,open:w`<circle class="ring" cx="8" cy="8" r="6"/>`,stale:w`<circle class="ring" cx="8" cy="8" r="6"/><path d="M8 2a6 6 0 0 0 0 12z"/>`};function O(s){return r`<span class=${"verdict "+s.replace(" ","-")}
    ><svg viewBox="0 0 16 16" aria-hidden="true">${Ve[s]}</svg><span class="word">${s}</span></span
  >`}function be(s){return r`<ul class="claims">
    ${[...s.claims.values()].map(e=>r`<li>${O(e.verdict)} <span>${e.sentence}</span></li>`)}
  </ul>`}function N(s){return s.replace(/\bEnter if\b/,"Done if").replace("; q if not","; End drill if not").replaceAll("an Enter","a touch on Done").replaceAll("press Enter","press Done")}function ye(s){return s.replace(/ \([^()]*\)$/,"")}var Je={prompt:[[660,.12],[990,.2]],result:[[520,.25]],mode:[[780,.1]],lost:[[330,.2],[260,.2],[200,.4]],back:[[390,.12],[520,.12],[780,.2]]},Fe=[880,.07],ze=3,Ke=["prompt","lost"],I=class{constructor(e,t){this.s=e;this.drills=t;let n=localStorage.getItem("benchproof.cues");n&&Object.assign(this.wanted,JSON.parse(n)),e.onLine(i=>this.line(i)),e.on("now",()=>this.present()),t.on(i=>this.drill(i))}s;drills;wanted={drill:!0,else:!1};audio;speaking;latest;pending;prompt="";ended;mode;counted=0;led=!1;get place(){return this.drills.mine?"drill":"else"}get on(){return this.wanted[this.place]}toggle(){this.wanted[this.place]=!this.on,localStorage.setItem("benchproof.cues",JSON.stringify(this.wanted)),this.on?this.unlock():this.silence(),this.s.changed()}unlock(){this.audio??=new AudioContext,this.audio.resume()}say(e,t,n=this.on){if(!n)return;let i=this.voice();if(!i){this.sound(Je[e]);return}if(this.speaking!==void 0&&!Ke.includes(e)){this.pending={kind:e,text:t,on:n};return}this.silence();let o=new SpeechSynthesisUtterance(t);o.lang="en",o.voice=i,o.onend=o.onerror=()=>this.over(o),this.speaking=e,this.latest=o,speechSynthesis.speak(o)}over(e){if(e!==this.latest)return;this.speaking=this.latest=void 0;let t=this.pending;this.pending=void 0,t&&this.say(t.kind,t.text,t.on)}silence(){this.speaking=this.latest=this.pending=void 0,"speechSynthesis"in window&&speechSynthesis.cancel()}voice(){if(!("speechSynthesis"in window))return;let e=speechSynthesis.getVoices().filter(t=>t.lang.startsWith("en"));return e.find(t=>t.localService)??e[0]}sound(e){let t=this.audio;if(!t||t.state!=="running")return;let n=t.currentTime;for(let[i,o]of e){let l=new OscillatorNode(t,{frequency:i}),c=new GainNode(t,{gain:.3});c.gain.setTargetAtTime(0,n+o*.7,o*.1),l.connect(c).connect(t.destination),l.start(n),l.stop(n+o),n+=o+.03}}drill(e){let t=e.running,n=t?.prompt?`${t.prompt.id} ${t.prompt.since_ns} ${t.hints.length} ${this.drills.mine}`:"",i=this.ended===void 0;if(n!==this.prompt){this.prompt=n,this.counted=0;let c=t?.hints.at(-1);t?.prompt&&this.say("prompt",N(c??ye(t.prompt.text)))}let o=e.ended?.seq??0,l=this.led?this.wanted.drill:this.wanted.else;this.led=this.drills.mine,!i&&e.ended&&o!==this.ended&&this.say("result",`Drill ${e.ended.drill} ${e.ended.how}. ${e.ended.right_now}`,l),this.ended=o}line(e){let t=e.data;switch(e.kind){case"link.lost":return this.say("lost","Link lost");case"link.restored":return this.say("back","The link is back");case"verdict.changed":this.drills.running&&t?.verdict==="seen wrong"&&this.say("result",`Seen wrong: ${t.sentence??""}`)}}present(){let e=this.s.now?.taps.find(i=>i.kind==="bus");e?.asked&&e.mode!==this.mode&&(this.mode!==void 0&&this.say("mode",e.mode===""?"no mode":`mode ${e.mode}`),this.mode=e.mode);let t=this.drills.left;if(t===void 0||t<=0||t>ze)return;let n=Math.ceil(t);n!==this.counted&&(this.counted=n,this.on&&this.sound([Fe]))}};function ke(s){return r`<button class="cues" aria-pressed=${String(s.on)} @click=${()=>s.toggle()}>
    ${s.on?"Spoken cues: on":"Spoken cues: off"}
  </button>`}var Ge="The screen may fall asleep: browsers keep it awake for secure pages (https) only. Let it stay on longer in the settings of this device.",Ye="The screen may fall asleep: this browser can’t keep it awake. Let it stay on longer in the settings of this device.",Ze="The screen may fall asleep: this device did not let the browser keep it awake, as when its battery is low.",q=class{constructor(e){this.changed=e;document.addEventListener("visibilitychange",()=>{this.take()})}changed;said="";wanted=!1;lock;want(e){if(e!==this.wanted){if(this.wanted=e,e){this.take();return}this.lock?.release(),this.lock=void 0,this.say("")}}async take(){if(!(!this.wanted||document.hidden||this.lock&&!this.lock.released)){if(!isSecureContext)return this.say(Ge);if(!("wakeLock"in navigator))return this.say(Ye);try{let e=await navigator.wakeLock.request("screen");if(!this.wanted)return void e.release();this.lock=e,this.say("")}catch{this.say(Ze)}}}say(e){e!==this.said&&(this.said=e,this.changed())}};function _e(s){return s.said===""?a:r`<p class="note" role="status">${s.said}</p>`}var Qe="This tool can’t stop a motor: it only listens.",te="This page may only look. Leading a drill needs the token that benchproof was started with.",B=class{constructor(e,t,n,i){this.s=e;this.drills=t;this.cues=n;this.wake=i;t.on(o=>i.want(o.running!==void 0)),addEventListener("hashchange",()=>this.named()),addEventListener("keydown",o=>this.key(o)),this.named()}s;drills;cues;wake;chosen="";yes="";by="";words="";said="";key(e){let t=this.drills.standing,n=e.target===document.body||e.target.id==="content";e.key!=="Enter"||!n||!location.hash.startsWith("#drill")||!this.may||!this.drills.mine||t&&!t.hands&&t.answers!=="words"&&t.answers!=="marks"&&this.drills.put("done")}named(){let[e,t]=location.hash.split("/");e==="#drill"&&t&&this.choose(decodeURIComponent(t))}get may(){return this.s.hello?.change===!0}typed(e,t){this[e]=t.target.value,this.s.changed()}choose(e){this.chosen=e,this.s.changed(),e!==""&&S(".chosen button")}async reopen(e){try{await x("/api/reopen",{what:e}),this.said=`What depends on ${e} is to be seen anew.`}catch(t){this.said=t instanceof g?t.message:"benchproof did not answer: it may not have taken that."}this.s.changed()}};function S(s,e=600){requestAnimationFrame(()=>{let t=document.querySelector(s);t?t.focus():e>0&&S(s,e-1)})}function Se(s){let{drills:e}=s;return e.shown?r`<div class="drill">
    ${ke(s.cues)} ${_e(s.wake)}
    ${e.refusal===""?a:r`<p class="trouble" role="alert">${e.refusal}</p>`}
    ${e.running?st(s,e.running):r`${e.shown.ended?ut(s,e.shown.ended):a} ${Xe(s)}`}
  </div>`:r`<p>Waiting for the list of drills.</p>`}function Te(s){let e=s.drills.running;return e?r`<a class="flag" href="#drill">Drill ${e.drill} is under way</a>`:a}function Xe(s){let e=s.drills.shown?.drills??[];return e.length===0?r`<p>There is no drill: the sheet has no sticks, no knob and no wanted modes, or there is no sheet.</p>`:r`<h2>Drills</h2>
    ${s.may?a:r`<p>${te}</p>`}
    <ul class="plain drills">
      ${e.map(t=>r`<li>${et(s,t)}</li>`)}
    </ul>`}function et(s,e){let t=()=>{s.cues.unlock(),s.choose(""),s.drills.begin(e.name,s.by.trim()),S(".drill .yes")};return r`<div class="row">
      <div class="grow">
        <h3>${e.name}</h3>
        <p>${e.purpose}</p>
        <p class="note">${e.prompts.length} prompts; ${tt(e)}</p>
      </div>
      ${s.may&&s.chosen!==e.name?r`<button aria-label=${`Begin ${e.name}`} @click=${()=>s.choose(e.name)}>Begin</button>`:a}
    </div>
    ${s.chosen!==e.name?a:r`<div class="row chosen">
          <label class="grow"
            >Who follows the prompts, for the record, if you like
            <input maxlength="40" autocomplete="off" .value=${s.by} @input=${n=>s.typed("by",n)} />
          </label>
          <button @click=${t} ?disabled=${s.drills.busy}>To its cautions</button>
          <button @click=${()=>s.choose("")}>Not now</button>
        </div>`}`}function tt(s){let{right:e,wrong:t,open:n,stale:i}=s.claims,o=e+t+n+i;if(o===0)return"no claim waits for it";let l=[e&&`${e} seen right`,t&&`${t} SEEN WRONG`,n&&`${n} open`,i&&`${i} stale`];return`${o} claims: ${l.filter(c=>c!==0).join(", ")}`}function st(s,e){let t=e.by===""?"":`, followed by ${e.by}`,n=e.prompt?`prompt ${e.prompt.number} of ${e.prompts}`:`${e.prompts} prompts`;return r`<section aria-label=${`Drill ${e.drill}`}>
    <p class="row"><strong class="grow">Drill ${e.drill}: ${n}${t}</strong></p>
    ${e.confirmed?r`${it(s,e)} ${s.may&&s.drills.mine?dt(s):lt(s,e)}`:nt(s,e)}
    ${pt(e)} ${Ee(e.walk)}
  </section>`}function Le(s){return r`<ul class="cautions">
    ${s.cautions.map(e=>r`<li>${e}</li>`)}
  </ul>`}function nt(s,e){let t=n=>{n.preventDefault(),s.yes.trim().toLowerCase()==="yes"&&(s.yes="",s.cues.unlock(),s.drills.mine||s.drills.goOn(),s.drills.put("confirm"),scrollTo(0,0),S(".answers button"))};return r`<h2>Before it begins, all of this must be so</h2>
    ${Le(e)}
    ${s.may?r`<form class="row" @submit=${t}>
          <label class="grow"
            >Type yes if all of it is so
            <input class="yes" required pattern="\\s*[yY][eE][sS]\\s*" title="yes" autocomplete="off" autocapitalize="none" .value=${s.yes} @input=${n=>s.typed("yes",n)} />
          </label>
          <button ?disabled=${s.drills.busy}>It is so: begin</button>
          <button type="button" @click=${()=>{s.drills.put("abandon")}}>Leave it</button>
        </form>`:r`<p>${te}</p>`}`}function it(s,e){let t=s.drills.standing,n=s.drills.left;return r`<div class="prompt">
    ${n===void 0?a:r`<p class="count"><span class="figure">${at(n)}</span> until the next comes by itself</p>`}
    <div aria-live="assertive" aria-atomic="true">
      ${ot(t?.key??"")}
      <p class="do">${e.prompt?N(e.prompt.text):"The last prompt is answered."}</p>
      ${e.hints.length===0?a:r`<p class="hint">${N(e.hints.at(-1)??"")}</p>`}
    </div>
  </div>`}var Ae=new Map,ee=document.createElement("canvas").getContext("2d");function rt(s){let e=Ae.get(s);return e===void 0&&(ee&&(ee.font="bold 100px system-ui, sans-serif"),e=Math.max(ee?.measureText(s).width??s.length*62,240),Ae.set(s,e)),e}function ot(s){if(s==="")return a;let e=rt(s);return r`<svg class="key" viewBox=${`0 0 ${Math.ceil(e*1.04)} 118`} role="img" aria-label=${s}>
    ${w`<text x="50%" y="92" text-anchor="middle" font-size="100" textLength=${e} lengthAdjust="spacingAndGlyphs">${s}</text>`}
  </svg>`}function at(s){let e=Math.ceil(s);return e<100?`${e} s`:`${Math.floor(e/60)}:${String(e%60).padStart(2,"0")}`}function lt(s,e){if(!s.may)return r`<p>${te}</p>`;let t=()=>{s.cues.unlock(),s.drills.goOn(),scrollTo(0,0),S(".answers button")};return r`<details class="takeover">
    <summary>This drill was begun elsewhere. To go on with it here</summary>
    <p>All of this must be so, now as before:</p>
    ${Le(e)}
    <p class="row"><button @click=${t}>It is so: go on here</button> ${Me(s)}</p>
  </details>`}function dt(s){let e=s.drills.standing,t=s.drills.plan(s.drills.running?.drill??"")?.again;return r`<div class="answers">
    <div class="answer">${e?ht(s):a}</div>
    <p class="row">
      ${t&&e?r`<button ?disabled=${s.drills.busy} @click=${()=>{s.drills.put("repeat")}}>Repeat</button>
            <button ?disabled=${s.drills.busy||s.drills.running?.prompt?.number===1} @click=${()=>{s.drills.put("back")}}>Back</button>`:a}
      ${Me(s)}
    </p>
  </div>`}function Me(s){return r`<button class="end" @click=${()=>{s.drills.put("abandon"),S("#result-title")}}>End drill</button> <span>${Qe}</span>`}function ht(s){let e=s.drills.standing,t=(n,i)=>r`<button class=${i?"done":""} ?disabled=${s.drills.busy} @click=${()=>{s.drills.put("done")}}>${n}</button>`;return e?e.answers==="words"||e.answers==="marks"?ct(s,e.answers==="marks"):e.hands?r`<p class="row"><span class="grow">Both hands: touch nothing here, it goes on by itself.</span> ${t("A helper: done",!1)}</p>`:e.early!==""?r`<p class="row"><span class="grow">It goes on by itself. Go on early, and ${e.early}:</span> ${t("Go on early",!1)}</p>`:e.held?r`<p>It goes on by itself.</p>`:e.answers==="wire"?r`<p class="row"><span class="grow">It goes on once the bus shows it.</span> ${t("Done",!1)}</p>`:t("Done",!0):a}function ct(s,e){return r`<form class="row" @submit=${n=>{n.preventDefault();let i=s.words.trim();i!==""&&(s.words="",s.drills.put("done",i))}}>
    <label class="grow"
      >${e?"Distance of the mark, such as 30 m":"Your words, for the record"}
      <input required maxlength="120" autocomplete="off" .value=${s.words} @input=${n=>s.typed("words",n)} />
    </label>
    <button ?disabled=${s.drills.busy}>${e?"Stand still here":"Say it"}</button>
    <button type="button" ?disabled=${s.drills.busy} @click=${()=>{s.drills.put("done")}}>
      ${e?"Walk on; once more: end the walk":"Leave it unsaid"}
    </button>
  </form>`}function pt(s){let e=s.said.filter(t=>t.what!=="hint").slice(-3).reverse();return e.length===0?a:r`<h3>Seen</h3>
    <ul class="plain" role="log">
      ${e.map(t=>r`<li>${t.text}</li>`)}
    </ul>`}function ut(s,e){return r`<section class="result" aria-labelledby="result-title">
    <h2 id="result-title" tabindex="-1">Drill ${e.drill} ${e.how}</h2>
    <div role="status">
      ${[e.why,e.right_now,e.undecided].map(t=>t===""?a:r`<p>${t}</p>`)}
    </div>
    ${xe(s,e.wrong,!0)} ${xe(s,e.open,!1)} ${mt(e)}
    ${e.others===""?a:r`<p>${e.others}</p>`}
    ${s.said===""?a:r`<p role="status">${s.said}</p>`} ${Ee(e.walk)} ${ft(s,e)}
  </section>`}function xe(s,e,t){return e.length===0?a:r`<ul class="plain claims">
    ${e.map(n=>r`<li>
        ${O(s.s.claims.get(n.claim)?.verdict??(t?"seen wrong":"open"))} <span>${n.sentence}</span>
        ${t&&n.reopens!==""&&s.may?r`<button @click=${()=>{s.reopen(n.reopens)}}>Changed ${n.reopens}: see it anew</button>`:a}
      </li>`)}
  </ul>`}function mt(s){let{wrong:e,open:t,stale:n}=s.more,i=[e&&`${e} more wrong`,t&&`${t} more open`,n&&`${n} more stale`].filter(o=>o!==0);return i.length===0?a:r`<p>And ${i.join(", ")}; the <a href="#sheet">sheet</a> lists them.</p>`}function ft(s,e){let t={unfinished:"once more, from its first prompt","after the change":"after the change, once more","":""}[e.next.again],n=(i,o)=>s.may?r`<button @click=${()=>s.choose(i)}>${o}</button>`:r`<span>${o}</span>`;return r`<p class="row">
    <strong>Next:</strong>
    ${t===""?a:n(e.drill,`${e.drill} ${t}`)}
    ${e.next.drill===""||e.next.again==="unfinished"?a:n(e.next.drill,e.next.drill)}
    ${e.next.drill===""&&t===""?"no drill is left with an open claim.":a}
  </p>`}function Ee(s){if(s.length===0)return a;let e=t=>t===0?"–":`${Math.round(t/1e9)} s`;return r`<table>
      <thead>
        <tr>
          ${["mark","missed","longest","frames","stood","needed"].map(t=>r`<th scope="col">${t}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${s.map(t=>r`<tr>
            <th scope="row">${t.mark}</th>
            <td>${t.missed}</td>
            <td>${t.longest}</td>
            <td>${t.frames}</td>
            <td>${e(t.stood_ns)}</td>
            <td>${e(t.need_ns)}</td>
          </tr>`)}
      </tbody>
    </table>
    <p class="note">missed: share of the frames that the receiver flags; needed: how long to stand until twice as much shows. It is no maker’s range check.</p>`}var Re="benchproof.drill",j=class{constructor(e){this.s=e;e.onLine(t=>{/^(drill|range|verdict|judgement|session)\./.test(t.kind)&&this.ask()}),e.on("hello",()=>{this.ask()})}s;shown;refusal="";busy=!1;asking=!1;again=!1;led=Number(sessionStorage.getItem(Re)??0);listeners=new Set;on(e){this.listeners.add(e)}get running(){return this.shown?.running}plan(e){return this.shown?.drills.find(t=>t.name===e)}get standing(){let e=this.running;return e?.prompt&&this.plan(e.drill)?.prompts.find(t=>t.id===e.prompt?.id)}get mine(){return this.running!==void 0&&this.running.seq===this.led}goOn(){this.lead(this.running?.seq??0),this.tell(),this.s.changed()}get left(){let e=this.standing,t=this.running?.prompt?.since_ns;if(!e||e.hold_ns===0||t===void 0||!this.s.now)return;let n=this.s.now.now_ns+Math.min(this.s.silence,1)*1e9;return Math.max(0,(e.hold_ns-(n-t))/1e9)}async begin(e,t){let n=await this.step({drill:e,do:"begin",asks:!0,...t===""?{}:{by:t}});n!==void 0&&this.lead(n),await this.ask()}async put(e,t=""){let n=this.running;if(!n)return;let i=n.prompt&&e!=="confirm"&&e!=="abandon"?{prompt:n.prompt.id}:{};await this.step({drill:n.drill,do:e,...i,...t===""?{}:{words:t}}),await this.ask()}tell(){for(let e of this.listeners)this.shown&&e(this.shown)}lead(e){this.led=e,sessionStorage.setItem(Re,String(e))}async step(e){this.busy=!0,this.refusal="",this.s.changed();try{return(await x("/api/drill",e)).seq??0}catch(t){this.refusal=t instanceof g?t.message:"benchproof did not answer: it may not have taken that.";return}finally{this.busy=!1,this.s.changed()}}async ask(){if(this.again=!0,!this.asking){this.asking=!0;try{for(;this.again;)this.again=!1,this.shown=await C("/api/drills"),this.tell()}catch{}finally{this.asking=!1,this.s.changed()}}}};var De="marked on the page",gt=["phone at the model","phone away"],$t=8e3,vt=50,U=class{constructor(e){this.s=e;e.on("hello",()=>{this.ask()})}s;said="";words="";striking=0;topics=[];fade=0;async mark(e){await this.change("/api/mark",{text:e},`Marked: ${e}`),e===this.words&&(this.words="")}async strike(e){await this.change("/api/mark",{strikes:e},"Struck. It stays in the record, struck through."),this.striking=0}async reopen(e){await this.change("/api/reopen",{what:e},`What depends on ${e} is to be seen anew.`)}about(e){this.striking=e,this.s.changed()}list(){let e=this.s.lines.filter(t=>t.kind==="mark.struck");return this.s.lines.filter(t=>t.kind==="mark").map(t=>({line:t,struck:e.find(n=>n.data.mark_ns===t.t_ns&&n.data.text===t.data.text)})).reverse().slice(0,vt)}async change(e,t,n){try{let{recorded:i}=await x(e,t);this.said=i?n:n+" It is not recorded, or not yet."}catch(i){this.said=i instanceof g?i.message:"benchproof did not answer: it may not have taken that."}this.s.changed(),clearTimeout(this.fade),this.fade=window.setTimeout(()=>{this.said="",this.s.changed()},$t)}async ask(){try{this.topics=(await C("/api/reopen")).topics}catch{}this.s.changed()}};function Ne(s,e){return s.hello?.change?r`<button class="mark" @click=${()=>{e.mark(De)}}>Mark</button>
    <span class="toast" role="status">${e.said}</span>`:a}function Pe(s,e){return r`
    <section class="marks" aria-labelledby="marks-title">
      <h2 id="marks-title">Marks</h2>
      ${s.hello?.change?wt(e):r`<p>Setting a mark needs the token that benchproof was started with.</p>`}
      <ul class="plain">
        ${e.list().map(t=>bt(s,e,t.line,t.struck))}
      </ul>
      ${e.list().length===0?r`<p>No mark was set in what this page shows of the session.</p>`:a}
    </section>
    ${s.hello?.change?yt(e):a}
  `}function wt(s){return r`<form class="row" @submit=${t=>{t.preventDefault(),s.mark(s.words.trim()===""?De:s.words.trim())}}>
      <label class="grow"
        >Words, if you like
        <input
          maxlength="500"
          autocomplete="off"
          .value=${s.words}
          @input=${t=>s.words=t.target.value}
      /></label>
      <button>Mark</button>
    </form>
    <p class="row">${gt.map(t=>r`<button @click=${()=>{s.mark(t)}}>${t}</button>`)}</p>
    <p class="note">A phone is a radio of its own: time while it is at the model counts for nothing in a long run.</p>`}function bt(s,e,t,n){let i=new Date(t.at).toLocaleTimeString();if(n){let o=n.data.why?`: ${n.data.why}`:"";return r`<li><time>${i}</time> <s>${t.data.text}</s> <span class="note">struck${o}</span></li>`}return r`<li>
    <time>${i}</time> <span class="grow">${t.data.text}</span>
    ${s.hello?.change?e.striking===t.seq?r`<button @click=${()=>{e.strike(t.seq)}}>Strike it</button>
            <button @click=${()=>e.about(0)}>Leave it</button>`:r`<button aria-label=${`Strike the mark ${t.data.text}`} @click=${()=>e.about(t.seq)}>Strike</button>`:a}
  </li>`}function yt(s){return r`<section class="reopen" aria-labelledby="reopen-title">
    <h2 id="reopen-title">What was changed</h2>
    <p>What was seen right and depends on it is stale from then on, until it is seen again.</p>
    <form class="row" @submit=${t=>{t.preventDefault();let n=new FormData(t.target).get("what");typeof n=="string"&&n!==""&&s.reopen(n)}}>
      <label class="grow"
        >Changed was
        <select name="what" required>
          <option value="">choose</option>
          ${s.topics.map(t=>r`<option value=${t}>${t}</option>`)}
        </select></label
      >
      <button>See it anew</button>
    </form>
  </section>`}var m=new W,He=new j(m),Ce=new B(m,He,new I(m,He),new q(()=>m.changed())),We=new U(m),se={sheet:{title:"Sheet",view:be},drill:{title:"Drills",view:()=>Se(Ce)},marks:{title:"Marks",view:s=>Pe(s,We)}};function kt(){let s=location.hash.slice(1).split("/")[0]??"";return s in se?s:"sheet"}function Oe(){let s=kt();X(r`
      <a class="skip" href="#content" @click=${e=>_t(e)}>To the content</a>
      <header class="top">${we(m)}</header>
      <nav aria-label="Views">
        ${Object.entries(se).map(([e,t])=>r`<a href=${"#"+e} aria-current=${e===s?"page":"false"}>${t.title}</a>`)}
        ${s==="drill"?"":Te(Ce)} ${Ne(m,We)}
      </nav>
      <main id="content" tabindex="-1">${se[s]?.view(m)}</main>
    `,document.body)}function _t(s){s.preventDefault(),document.getElementById("content")?.focus()}m.subscribe(Oe);addEventListener("hashchange",()=>m.changed());Oe();m.start();
